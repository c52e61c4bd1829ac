"""A service in shared mode with two organisations, and browsers and programs that use it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from functools import cache
from typing import Any
from uuid import UUID, uuid4

from flask import Flask
from flask.testing import FlaskClient
from lxml import html
from werkzeug.test import TestResponse

from estimator.config import Config
from estimator.store import access
from estimator.store.database import Database
from estimator.store.organisations import add_organisation
from estimator.store.people import add_membership, add_person
from estimator.store.scope import Scope
from estimator.store.tables.organisations import Role
from estimator.web.app import create_app
from estimator.web.app_database import use_database
from estimator.web.passwords import password_hash

PASSWORD = "seven invented words"
SHARED = Config(mode="shared", public_url="https://estimates.example.org", sign_in_tries=5)


@cache
def hashed() -> str:
    return password_hash(PASSWORD)


@dataclass
class Office:
    """An organisation with a person and a token for each role."""

    service: "Service"
    scope: Scope
    people: dict[Role, UUID] = field(default_factory=dict)
    emails: dict[Role, str] = field(default_factory=dict)
    tokens: dict[Role, str] = field(default_factory=dict)

    def program(self, role: Role) -> "Program":
        return Program(self.service.app.test_client(), self.tokens[role])

    def browser(self, role: Role) -> "Browser":
        browser = self.service.browser()
        assert browser.sign_in(self.emails[role]).status_code == 303
        return browser


@dataclass
class Program:
    """Sends a token with everything."""

    client: FlaskClient
    token: str

    def __call__(self, method: str, path: str, **how: Any) -> TestResponse:
        headers = {"Authorization": f"Bearer {self.token}", **how.pop("headers", {})}
        return self.client.open(path, method=method, headers=headers, **how)


@dataclass
class Browser:
    """Keeps cookies and fills in forms."""

    client: FlaskClient

    def get(self, path: str, **how: Any) -> TestResponse:
        return self.client.get(path, base_url=SHARED.public_url, **how)

    def post(self, path: str, data: Mapping[str, str], **how: Any) -> TestResponse:
        headers = {"Origin": SHARED.public_url, **how.pop("headers", {})}
        return self.client.post(path, base_url=SHARED.public_url, data=data, headers=headers, **how)

    def csrf(self) -> str:
        page = html.fromstring(self.get("/account").text)
        return str(page.xpath("//input[@name='csrf']/@value")[0])

    def sign_in(self, email: str, password: str = PASSWORD, **more: str) -> TestResponse:
        return self.post("/sign-in", {"email": email, "password": password, **more})


class Service:
    """The application in shared mode on a database."""

    def __init__(self, database: Database, config: Config = SHARED) -> None:
        self.database = database
        self.app: Flask = create_app(config)
        use_database(self.app, database)

    def browser(self) -> Browser:
        return Browser(self.app.test_client())

    def office(self) -> Office:
        at = datetime.now(UTC)
        with self.database.writing() as session:
            name = f"Invented Electric {uuid4().hex[:6]}"
            scope = Scope(add_organisation(session, name, at).id, at, None, "Test")
            office = Office(self, scope)
            roles: tuple[Role, ...] = ("owner", "estimator", "reader")
            for role in roles:
                email = f"{role}.{uuid4().hex[:8]}@example.org"
                person = add_person(session, email, f"Invented {role}", hashed(), at)
                add_membership(session, scope, person.id, role)
                until = at + timedelta(days=30)
                _, secret = access.add_token(session, scope, person.id, "test", "owner", until)
                office.people[role], office.emails[role] = person.id, email
                office.tokens[role] = secret.text
        return office
