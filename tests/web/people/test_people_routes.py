"""Every route of the application, walked: who may, and who may not."""

import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from uuid import uuid4

import pytest
from web.people.shared_service import Office, Service

from estimator.store.database import Database, open_database
from estimator.store.tables.organisations import Role
from estimator.web.caller import Caller
from estimator.web.route_roles import load_route_roles, role_asked

RANK: tuple[Role, ...] = ("reader", "estimator", "owner")
METHODS = ("GET", "POST", "PUT", "PATCH", "DELETE")
# Read without a sign-in, on purpose; anything new has to be put here by hand.
OPEN_TO_ALL = {
    "/health", "/ready", "/metrics", "/static/<path:filename>", "/sign-in", "/join/<secret>",
    "/words",
}  # fmt: skip
SECRET_IN_ADDRESS = re.compile(r"/(links|offer)/<")


@pytest.fixture(scope="module")
def database(sqlite_template: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Database]:
    """Who may what is the same whatever the database; walking all routes takes its time."""
    file = tmp_path_factory.mktemp("routes") / "estimator.sqlite"
    shutil.copy(sqlite_template, file)
    opened = open_database(f"sqlite:///{file}")
    yield opened
    opened.close()


def routes(service: Service) -> Iterator[tuple[str, str]]:
    for rule in service.app.url_map.iter_rules():
        for method in sorted((rule.methods or set()) & set(METHODS)):
            yield rule.rule, method


def address(rule: str) -> str:
    for pattern, value in (
        (r"<uuid:[^>]*>", str(uuid4())),
        (r"<any\('?([a-z_.-]+)[^)]*\):[^>]*>", r"\1"),
        (r"<int[^>]*>", "1"),
        (r"<string\(length=3\)[^>]*>", "USD"),
        (r"<[^>]*>", "anything"),
    ):
        rule = re.sub(pattern, value, rule)
    return rule


def test_there_are_many_routes_and_only_a_few_are_open_to_all(service: Service) -> None:
    every = list(routes(service))
    opened = {rule for rule, method in every if role_asked(rule, method) == "anyone"}

    assert len(every) > 60
    assert {rule for rule in opened if not SECRET_IN_ADDRESS.search(rule)} == OPEN_TO_ALL


def test_without_a_sign_in_no_route_answers(service: Service) -> None:
    client = service.app.test_client()
    answered = []
    for rule, method in routes(service):
        if role_asked(rule, method) == "anyone":
            continue
        answer = client.open(address(rule), method=method)
        # Pages lead to the sign-in; everything else says what it needs.
        asked = (303, 401) if method == "GET" and not rule.startswith("/api/") else (401,)
        if answer.status_code not in asked:
            answered.append((rule, method, answer.status_code))

    assert answered == []


def test_each_role_gets_what_its_rank_allows_and_403_for_all_else(
    service: Service, office: Office
) -> None:
    wrong = []
    for role in RANK:
        program = office.program(role)
        for rule, method in routes(service):
            asked = role_asked(rule, method)
            if asked == "anyone" or rule == "/sign-out":
                continue
            status = program(method, address(rule)).status_code
            allowed = RANK.index(role) >= RANK.index(asked)
            if asked == "owner" and allowed and rule == "/api/v1/organisation":
                assert status in (403, 415, 428)  # not by a token, or not without its version
            elif allowed == (status == 403) and not rule.startswith("/account"):
                wrong.append((role, rule, method, asked, status))
            assert status != 500, (rule, method)

    assert wrong == []


def test_what_only_owners_may_is_said_by_name(service: Service) -> None:
    for rule in ("/api/v1/people", "/api/v1/people/<uuid:person_id>", "/api/v1/invitations"):
        assert {role_asked(rule, method) for method in METHODS} == {"owner"}
    assert role_asked("/api/v1/organisation", "GET") == "reader"
    assert role_asked("/api/v1/organisation", "DELETE") == "owner"
    assert role_asked("/api/v1/organisation/export", "POST") == "owner"


def test_a_route_that_nobody_thought_of_needs_an_estimator_to_change_things() -> None:
    assert role_asked("/api/v1/something-new", "GET") == "reader"
    assert role_asked("/api/v1/something-new", "POST") == "estimator"
    assert role_asked("/static-looking", "GET") == "reader"
    assert role_asked("/api/v1/peoples", "GET") == "reader"


def test_every_exception_is_for_a_route_that_there_is_and_says_why(service: Service) -> None:
    rules = list(routes(service))
    for each in load_route_roles():
        assert each.because
        assert any(each.covers(rule, method) for rule, method in rules), each.path


@pytest.mark.parametrize("role", RANK)
def test_a_caller_may_what_lower_roles_may(role: Role, office: Office) -> None:
    who = Caller(office.scope, role, "token")

    assert [who.may(each) for each in RANK] == [
        RANK.index(each) <= RANK.index(role) for each in RANK
    ]
