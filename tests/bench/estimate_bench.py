"""One estimate in the process, beside a request that is only echoed."""

import io
import json
from functools import partial

from flask import Flask, Response, request
from flask.testing import FlaskClient

from estimator import usecases
from estimator.catalogue.reading_memo import READINGS
from estimator.documents.result_json import result_document
from estimator.documents.workbook import write_workbook
from tests.bench.measure import paired, print_row
from tests.bench.sample import BODY, list_files, sample_catalogue, sample_estimate


def bare_echo() -> Flask:
    """The smallest Flask application that parses a JSON body and answers it."""
    app = Flask("echo")

    @app.post("/")
    def echo() -> Response:
        return Response(json.dumps(request.get_json()), content_type="application/json")

    return app


def wsgi_call(app: Flask, body: bytes) -> None:
    """One request through the WSGI interface, without a test client around it."""
    environ = {
        "REQUEST_METHOD": "POST", "PATH_INFO": "/", "SERVER_NAME": "localhost",
        "SERVER_PORT": "80", "SERVER_PROTOCOL": "HTTP/1.1", "wsgi.url_scheme": "http",
        "wsgi.input": io.BytesIO(body), "CONTENT_LENGTH": str(len(body)),
        "CONTENT_TYPE": "application/json",
    }  # fmt: skip
    for _ in app(environ, lambda *_: lambda _: None):
        pass


def client_call(client: FlaskClient, body: bytes) -> None:
    """The same request as Flask's own tests make it."""
    client.post("/", data=body, content_type="application/json")


def print_estimate() -> None:
    """Estimate, result as text, workbook and reading of lists."""
    files, catalogue = list_files(), sample_catalogue()
    app = bare_echo()
    in_wsgi = partial(wsgi_call, app, BODY)
    in_client = partial(client_call, app.test_client(), BODY)
    ours = partial(sample_estimate, catalogue)
    estimate = ours()

    def with_text() -> str:
        return json.dumps(result_document(ours()))

    def split() -> list[list[str]]:
        return [data.decode().splitlines() for _, data in files]

    again = partial(usecases.read_catalogue, files)

    def anew() -> usecases.Catalogue:
        READINGS.clear()
        return again()

    for title, floor, work, counts in (
        ("estimate / bare Flask echo, WSGI call", in_wsgi, ours, (50, 5)),
        ("estimate / bare Flask echo, test client", in_client, ours, (25, 5)),
        ("estimate and JSON text / echo, WSGI call", in_wsgi, with_text, (50, 5)),
        ("estimate and JSON text / echo, test client", in_client, with_text, (25, 5)),
        ("workbook / estimate", ours, lambda: write_workbook(estimate), (5, 1)),
        ("three price lists read / their bytes split", split, anew, (20, 2)),
        ("the same lists sent again / their bytes split", split, again, (20, 5)),
    ):
        print_row(title, paired(floor, work, counts))
