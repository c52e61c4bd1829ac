"""An office to test with: an application over a database, and whoever calls."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from estimator.store.database import Database
from estimator.store.scope import Scope

V1 = "/api/v1"


def open_app(database: Database) -> Flask:
    """An application in local mode that uses a database of the tests."""
    # Here, so that tests of other rooms do not load the whole service.
    from estimator.web.app import create_app
    from estimator.web.app_database import use_database

    app = create_app()
    use_database(app, database)
    return app


@dataclass
class Office:
    """One organisation at work: sends requests as its owner, at a time that the test sets."""

    app: Flask
    scope: Scope
    client: FlaskClient = field(init=False)

    def __post_init__(self) -> None:
        self.client = self.app.test_client()

    def at(self, when: datetime) -> "Office":
        """The same office at another time."""
        return Office(self.app, replace(self.scope, at=when))

    def send(self, method: str, path: str, **more: Any) -> TestResponse:
        """Send a request. path: below /api/v1 where it begins with a slash."""
        with acting(self.app, self.scope):
            return self.client.open(V1 + path, method=method, **more)

    def get(self, path: str, **more: Any) -> TestResponse:
        return self.send("GET", path, **more)

    def post(self, path: str, document: object = None, **more: Any) -> TestResponse:
        return self.send("POST", path, **_body(document, more))

    def put(self, path: str, document: object, tag: str | None = "*", **more: Any) -> TestResponse:
        return self.send("PUT", path, **_body(document, _tagged(tag, more)))

    def delete(self, path: str, tag: str | None = "*", **more: Any) -> TestResponse:
        return self.send("DELETE", path, **_tagged(tag, more))

    def made(self, path: str, document: object = None, **more: Any) -> Any:
        """What was made by a POST that must succeed."""
        answer = self.post(path, document, **more)
        assert answer.status_code in (200, 201), answer.text
        return answer.json

    def shown(self, path: str) -> Any:
        """What a GET that must succeed shows."""
        answer = self.get(path)
        assert answer.status_code == 200, answer.text
        return answer.json


class acting:  # noqa: N801
    """While it lasts, requests of the application are those of the owner of a scope."""

    def __init__(self, app: Flask, scope: Scope) -> None:
        self._app, self._scope = app, scope

    def __enter__(self) -> None:
        self._app.before_request_funcs.setdefault(None, []).append(self._act)

    def __exit__(self, *_: object) -> None:
        self._app.before_request_funcs[None].remove(self._act)

    def _act(self) -> None:
        from estimator.web.caller import Caller, set_caller

        set_caller(Caller(self._scope, "owner", "local"))


def _body(document: object, more: Mapping[str, Any]) -> dict[str, Any]:
    return {**more} if document is None else {"json": document, **more}


def _tagged(tag: str | None, more: Mapping[str, Any]) -> dict[str, Any]:
    headers = dict(more.get("headers", {})) | ({} if tag is None else {"If-Match": tag})
    return {**more, "headers": headers}
