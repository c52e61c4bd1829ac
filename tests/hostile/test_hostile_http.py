"""Requests that no client of good will sends: never an answer that says it is our fault."""

import json
import os
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from random import Random

import pytest
from conftest import SAMPLES
from flask import Flask
from flask.testing import FlaskClient
from payloads import PAYLOADS
from store.databases import new_scope
from web.api.furnished import JOB, furnish
from web.api.office import Office, acting
from werkzeug.test import TestResponse

from estimator.documents.pdf import PDF_KINDS
from estimator.store.database import Database
from estimator.web.app import create_app

TIMES = int(os.environ.get("ESTIMATOR_HOSTILE", "1"))
METHODS = ("GET", "POST", "PUT", "DELETE", "PATCH", "OPTIONS", "HEAD", "TRACE", "PROPFIND", "get")
HEADERS = {
    "Content-Type": (
        "",
        "application/json",
        "application/json",
        "application/json; charset=utf-7",
        "text/xml",
        "multipart/form-data",
        "multipart/form-data; boundary=" + "x" * 5000,
        "*/*",
        "text/csv",
        "application/x-www-form-urlencoded",
        "application/json, text/html",
        "\xff",
        "a" * 9000,
    ),
    "Content-Length": ("-1", "abc", "0", "99999999999999999999", "1, 2", "\xb2"),
    "If-Match": ("*", '"a", "b"', 'W/"x"', "\xff", '"' * 500, '"' + "9" * 5000 + '"'),
    "If-None-Match": ("*", '"a"', "\xff" * 300),
    "If-Modified-Since": ("Thu, 32 Foo 99999 99:99:99 GMT", "1", "\xff"),
    "Idempotency-Key": ("x" * 10_000, "\xe9", "' OR 1=1 --", "a", ""),
    "Accept": ("*/*;q=9", ";;;", "text/html;q=x, a/b" * 300, "\xff"),
    "Accept-Language": ("x" * 5000, "de-DE;q=-1", "\xff"),
    "Accept-Encoding": ("br;q=a", "identity;q=0, *;q=0"),
    "Range": ("bytes=-1", "bytes=9-2", "bytes=" + "0-1," * 500, "lines=1"),
    "Host": ("evil.example", "[::1", "127.0.0.1:99999", "a" * 300, "\xff", ""),
    "Origin": ("null", "https://evil.example", "\xff"),
    "Referer": ("javascript:alert(1)", "\xff"),
    "Cookie": ("a=b; " * 2000, "session=\xff", "=", '"'),
    "Authorization": ("Bearer", "Bearer " + "x" * 9000, "Basic !!!", "Digest username=", "\xff"),
    "X-Forwarded-For": ("1.2.3.4, 999.1.1.1", "\xff"),
    "X-Request-ID": ("../../x", "a" * 9000, "\xff", "<script>"),
    "Transfer-Encoding": ("chunked", "gzip, chunked", "x"),
    "Content-Encoding": ("gzip", "br", "x"),
    "Expect": ("100-continue", "x"),
    "HX-Request": ("true", "\xff"),
    "X-HTTP-Method-Override": ("DELETE",),
}
BODIES = (
    b"", b"{}", b"[]", b"null", b"1", b'"a"', b"\xff\xfe", b"{" * 3000, b"[" * 100_000,
    b'{"job": {}, "catalogue": []}', b"a=b&" * 3000,
    b"--x\r\nContent-Disposition: form-data\r\n\r\n",
    b'{"job": NaN}', b'{"a": 1, "a": 2}', b"9" * 60_000, b"\x1f\x8b\x08\0", b"PK\x03\x04",
)  # fmt: skip
WORDS = (
    "../../etc/passwd", "%2e%2e%2f%2e%2e%2fetc%2fpasswd", "..%5c..%5cetc%5cpasswd", "%00",
    "quote%00.pdf", "....//....//etc/passwd", "%c0%ae%c0%ae/", "a" * 3000, "CON", "quote.pdf/../x",
    "%ff%fe",
    "{{7*7}}", "%0d%0aSet-Cookie:%20a=b", "quote;x=1", ".", "..", "%252e%252e%252f", "~root",
    "file:%2f%2f%2fetc",
)  # fmt: skip


@pytest.fixture(scope="module")
def at_work(office_app: Flask, office_database: Database) -> tuple[Office, dict[str, str]]:
    office = Office(office_app, new_scope(office_database))
    return office, furnish(office)


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return create_app().test_client()


def paths(app: Flask, known: dict[str, str], dice: Random) -> Iterator[str]:
    """Each address, its places filled by what is there or by what is not."""
    for rule in app.url_map.iter_rules():
        told = {}
        for name in rule.arguments:
            sound = known.get(name, dice.choice(("quote", "1", "USD", "quotes.pdf")))
            told[name] = sound if dice.random() < 0.6 else dice.choice(WORDS)
        path = "/".join(
            told[part.strip("<>").rpartition(":")[2]] if part.startswith("<") else part
            for part in rule.rule.split("/")
        )
        yield path + dice.choice(("", "", "?limit=-1", "?a=1&a=2", "?" + "q" * 5000, "?cursor=%ff"))


def is_no_fault_of_ours(answer: TestResponse) -> bool:
    if answer.status_code >= 500 and answer.status_code != 501:
        return False
    text = answer.get_data(as_text=False)
    return b"Traceback" not in text and b"root:" not in text and b"/site-packages/" not in text


def test_odd_methods_headers_and_bodies_on_every_address(
    office_app: Flask, at_work: tuple[Office, dict[str, str]]
) -> None:
    office, known = at_work
    statuses = set()
    for turn in range(TIMES):
        dice = Random(turn)
        with acting(office_app, office.scope):
            for path in paths(office_app, known, dice):
                for method in METHODS:
                    headers = [
                        (name, dice.choice(HEADERS[name]))
                        for name in dice.choices(list(HEADERS), k=dice.choice((1, 2, 4, 8)))
                    ]
                    told = dict(headers)
                    with office.client.open(
                        path,
                        method=method,
                        headers=[
                            (name, value) for name, value in headers if name != "Content-Length"
                        ],
                        data=dice.choice(BODIES),
                        environ_overrides=(
                            {"CONTENT_LENGTH": told["Content-Length"]}
                            if "Content-Length" in told
                            else {}
                        ),
                    ) as answer:
                        statuses.add(answer.status_code)
                        assert is_no_fault_of_ours(answer), (turn, method, path, headers)

    assert {200, 400, 404, 405, 415} <= statuses


@pytest.mark.parametrize("word", [*WORDS, *PAYLOADS])
@pytest.mark.parametrize("place", ["/papers/", "/static/", "/api/v1/tables/", "/offer/"])
def test_a_name_of_a_file_leads_nowhere_else(client: FlaskClient, word: str, place: str) -> None:
    with client.get(place + word.replace("#", "%23").replace("?", "%3f")) as answer:
        assert answer.status_code in (301, 303, 308, 400, 404, 405, 422)
        assert is_no_fault_of_ours(answer)
        assert "Set-Cookie" not in answer.headers
        if answer.mimetype == "text/html":
            assert b"<script>alert" not in answer.data


def test_all_headers_that_keep_a_page_shut_are_there(client: FlaskClient) -> None:
    for path in ("/", "/health", "/api/openapi.json", "/nothing", "/papers/nothing"):
        headers = client.get(path).headers
        assert "default-src 'self'" in headers["Content-Security-Policy"]
        assert "frame-ancestors 'none'" in headers["Content-Security-Policy"]
        assert "unsafe-eval" not in headers["Content-Security-Policy"]
        assert headers["X-Content-Type-Options"] == "nosniff"
        assert headers["Referrer-Policy"] in ("same-origin", "no-referrer")


LIST = (SAMPLES / "price_lists" / "north_counter.csv").read_text()
ODD_REQUESTS = {
    "last day": {"on": "9999-12-31"},
    "first day": {"on": "0001-01-01"},
    "day of another kind": {"on": 20251001},
    "surrogate in a name": {"catalogue": [{"name": "\ud800", "text": LIST}]},
    "surrogate in a text": {"catalogue": [{"name": "a.csv", "text": "\ud800" + LIST}]},
    "zero byte": {"catalogue": [{"name": "a\0.csv", "text": LIST + "\0"}]},
    "name of a path": {"catalogue": [{"name": "../../../etc/passwd", "text": LIST}]},
    "endless number in a programme": {
        "programmes": [{"name": "a.toml", "text": "rate = 1" + "0" * 5000}]
    },
    "endless nesting in a programme": {
        "programmes": [{"name": "a.toml", "text": "a = " + "[" * 9000}]
    },
    "surrogate in a programme": {"programmes": [{"name": "a.toml", "text": 'a = "\ud800"'}]},
    "surrogate in labour": {"labour_units": {"name": "a.csv", "text": "\ud800"}},
    "facts nobody asked for": {"programme_facts": {"\ud800": "\ud800", "": "", "a" * 9999: "1"}},
    "lists in a list": {"catalogue": [[[[{"name": "a", "text": LIST}]]]]},
    "too many lists": {"catalogue": [{"name": "a.csv", "text": ""}] * 1000},
}  # fmt: skip


@pytest.mark.parametrize("asked", ODD_REQUESTS.values(), ids=ODD_REQUESTS)
def test_odd_requests_for_estimates_and_papers(
    client: FlaskClient, asked: dict[str, object]
) -> None:
    body = json.dumps({"job": JOB, "catalogue": [], "year_table": True, **asked})
    addresses = ["/api/v1/estimates", "/api/v1/estimates/workbook", "/api/v1/catalogue/check"]
    addresses += [f"/api/v1/documents/papers/{kind}" for kind in PDF_KINDS[:1]]
    for address in addresses:
        answer = client.post(address, data=body, content_type="application/json")

        assert answer.status_code in (200, 400, 422), (address, answer.text[:300])
        assert is_no_fault_of_ours(answer)


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[int, Path]]:
    """The service as it is served, on loopback; its port and its log."""
    folder = tmp_path_factory.mktemp("served")
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    log = folder / "log"
    settings = {
        **os.environ,
        "ESTIMATOR_DATABASE_URL": f"sqlite:///{folder}/estimator.sqlite",
        "ESTIMATOR_WORKERS": "1",
    }
    with log.open("wb") as out:
        server = subprocess.Popen(
            [sys.executable, "-m", "estimator", "serve", "--port", str(port)],
            stdout=out, stderr=out, env=settings,
        )  # fmt: skip
    try:
        _wait(port)
        yield port, log
    finally:
        server.terminate()
        server.wait(timeout=40)


def _wait(port: int) -> None:
    for _ in range(300):
        if _health(port):
            return
        time.sleep(0.1)
    raise AssertionError("the service does not answer")


def _health(port: int) -> bool:
    try:
        with urllib.request.urlopen(f"http://127.0.0.1:{port}/health", timeout=5) as answer:
            return bool(answer.status == 200)
    except (urllib.error.URLError, OSError):
        return False


HOST = b"Host: 127.0.0.1\r\n"
RAW = {
    "nothing": b"\r\n\r\n",
    "no request": bytes(range(256)),
    "another protocol": b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03",
    "no version": b"GET /\r\n\r\n",
    "version 9": b"GET / HTTP/9.9\r\n" + HOST + b"\r\n",
    "no host": b"GET /health HTTP/1.1\r\n\r\n",
    "two hosts": b"GET /health HTTP/1.1\r\n" + HOST + b"Host: evil.example\r\n\r\n",
    "full address": b"GET http://evil.example/health HTTP/1.1\r\n" + HOST + b"\r\n",
    "no slash": b"GET health HTTP/1.1\r\n" + HOST + b"\r\n",
    "up": b"GET /static/../../../../etc/passwd HTTP/1.1\r\n" + HOST + b"\r\n",
    "zero byte": b"GET /papers/\0 HTTP/1.1\r\n" + HOST + b"\r\n",
    "high bytes": b"GET /papers/\xff\xfe HTTP/1.1\r\n" + HOST + b"\r\n",
    "long address": b"GET /" + b"a" * 100_000 + b" HTTP/1.1\r\n" + HOST + b"\r\n",
    "long header": b"GET / HTTP/1.1\r\n" + HOST + b"A: " + b"b" * 100_000 + b"\r\n\r\n",
    "many headers": b"GET / HTTP/1.1\r\n" + HOST + b"A: b\r\n" * 5_000 + b"\r\n",
    "folded header": b"GET /health HTTP/1.1\r\n" + HOST + b"A: b\r\n c\r\n\r\n",
    "header without a name": b"GET /health HTTP/1.1\r\n" + HOST + b": b\r\n\r\n",
    "two lengths": b"POST / HTTP/1.1\r\n" + HOST
    + b"Content-Length: 3\r\nContent-Length: 9\r\n\r\na=b",
    "length and chunks": b"POST / HTTP/1.1\r\n" + HOST
    + b"Content-Length: 3\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n",
    "bad chunk": b"POST / HTTP/1.1\r\n" + HOST + b"Transfer-Encoding: chunked\r\n\r\nzz\r\nabc\r\n",
    "length below zero": b"POST / HTTP/1.1\r\n" + HOST + b"Content-Length: -5\r\n\r\n",
    "length beyond all": b"POST /api/v1/estimates HTTP/1.1\r\n" + HOST
    + b"Content-Type: application/json\r\nContent-Length: 99999999999999\r\n\r\n{}",
    "method of its own": b"BREW / HTTP/1.1\r\n" + HOST + b"\r\n",
    "method with blanks": b"G E T / HTTP/1.1\r\n" + HOST + b"\r\n",
    "trace": b"TRACE / HTTP/1.1\r\n" + HOST + b"Cookie: secret=1\r\n\r\n",
    "connect": b"CONNECT evil.example:80 HTTP/1.1\r\n" + HOST + b"\r\n",
    "upgrade": b"GET / HTTP/1.1\r\n" + HOST + b"Upgrade: h2c\r\nConnection: Upgrade\r\n\r\n",
}  # fmt: skip


@pytest.mark.parametrize("request_bytes", RAW.values(), ids=RAW)
def test_bytes_that_are_hardly_http(served: tuple[int, Path], request_bytes: bytes) -> None:
    port, log = served
    before = log.stat().st_size
    got = b""
    with socket.create_connection(("127.0.0.1", port), timeout=10) as connection:
        connection.settimeout(1)
        try:
            connection.sendall(request_bytes)
            connection.shutdown(socket.SHUT_WR)
            while part := connection.recv(65_536):
                got += part
        except OSError:  # the service may hang up, or wait for the rest of a body
            pass

    first = got.split(b"\r\n", 1)[0].split()
    # 501 and 505: methods and versions that a server need not know (RFC 9110).
    assert not got or int(first[1]) < 500 or int(first[1]) in (501, 505), got[:300]
    assert b"root:" not in got
    assert b"secret=1" not in got
    assert _health(port)
    assert b"Traceback" not in log.read_bytes()[before:]


def test_the_server_does_not_tell_its_version(served: tuple[int, Path]) -> None:
    port, _ = served
    with urllib.request.urlopen(f"http://127.0.0.1:{port}/", timeout=10) as answer:
        named = answer.headers.get_all("Server") or []
        assert answer.headers["Content-Security-Policy"]

    assert not any(letter.isdigit() for letter in "".join(named))
