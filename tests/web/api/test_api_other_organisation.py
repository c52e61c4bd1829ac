"""Another organisation's identifiers, in every position of every operation: 404, no change.

The operations come from the published interface and from Flask's own map of addresses, so an
operation that is added later is walked too.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

import pytest
from flask import Flask
from store.databases import new_scope
from web.api.furnished import JOB, NORTH, furnish
from web.api.office import V1, Office

from estimator.store import access, files, invitations, people, tasks
from estimator.store.database import Database
from estimator.store.scope import Scope
from estimator.store.tables.base import OwnedRow

# Not of an organisation, or looked up by a secret of their own.
_NO_POSITION = {"by_person"}
_PUBLIC = f"{V1}/links/"
_ARGUMENT = re.compile(r"<(?:([a-z]+)(?:\([^<>]*\))?:)?([a-z_]+)>")
# What an address or body calls what furnish calls otherwise.
_FIXED = {
    "number": "1", "place": "1", "currency": "USD", "name": "quote.pdf", "kind": "rate-sheets",
}  # fmt: skip


@dataclass(frozen=True)
class Walked:
    """One operation. rule: as Flask has it. own: arguments that hold an identifier."""

    method: str
    rule: str

    @property
    def arguments(self) -> list[tuple[str, str]]:
        return [(kind or "string", name) for kind, name in _ARGUMENT.findall(self.rule)]

    @property
    def identifiers(self) -> list[str]:
        return [name for kind, name in self.arguments if kind == "uuid"]

    def path(self, values: dict[str, str]) -> str:
        return _ARGUMENT.sub(lambda found: values[found[2]], self.rule).removeprefix(V1)

    @property
    def documented(self) -> str:
        return _ARGUMENT.sub(lambda found: f"{{{found[2]}}}", self.rule)


def walk(app: Flask) -> Iterator[Walked]:
    for rule in app.url_map.iter_rules():
        if rule.rule.startswith(V1) and not rule.rule.startswith(_PUBLIC):
            for method in sorted(rule.methods - {"HEAD", "OPTIONS"}):
                yield Walked(method, rule.rule)


@pytest.fixture(scope="module")
def both(office_app: Flask, office_database: Database) -> tuple[Any, ...]:
    """Two furnished offices."""
    mine = Office(office_app, new_scope(office_database))
    theirs = Office(office_app, new_scope(office_database))
    return (
        mine, furnish(mine) | add_people(office_database, mine.scope),
        theirs, furnish(theirs) | add_people(office_database, theirs.scope),
    )  # fmt: skip


def add_people(database: Database, scope: Scope) -> dict[str, str]:
    """A person with a token, an invitation, a task with a file: local mode has no way to some."""
    later = scope.at + timedelta(days=30)
    with database.writing() as session:
        email = f"p{scope.organisation_id}@example.org"
        person = people.add_person(session, email, "Invented Person", "x", scope.at)
        people.add_membership(session, scope, person.id, "owner")
        token, _ = access.add_token(session, scope, person.id, "sheet", "reader", later)
        invitation, _ = invitations.invite(session, scope, "n@example.org", "reader", later)
        file = files.add_file(session, scope, "made.csv", "text/csv", b"a")
        # Of a kind that nothing runs, and over: it stays as it is.
        task = tasks.add_task(session, scope, "none", {}, file_id=file.id)
        tasks.cancel_task(session, scope, task.id)
        return {
            "person_id": str(person.id), "token_id": str(token.id), "task_id": str(task.id),
            "invitation_id": str(invitation.id), "file_id": str(file.id),
        }  # fmt: skip


@pytest.fixture(scope="module")
def interface(office_app: Flask) -> dict[str, Any]:
    document: dict[str, Any] = office_app.extensions["estimator_spec"].to_dict()
    return document


def values(ids: dict[str, str], walked: Walked) -> dict[str, str]:
    """What stands in an address. An argument that this test does not know fails here."""
    known = {**_FIXED, **ids}
    return {name: known[name] for _, name in walked.arguments}


def body_of(interface: dict[str, Any], walked: Walked) -> dict[str, Any]:
    """A body that is sound in itself, so that only the identifier can be what is wrong."""
    operation = interface["paths"][walked.documented][walked.method.lower()]
    content = operation.get("requestBody", {}).get("content", {})
    if "application/json" in content:
        return {"json": content["application/json"].get("example", {})}
    if content:
        return {"data": NORTH, "content_type": "text/csv", "query_string": {"file_name": "n.csv"}}
    if walked.documented.endswith("/confirmed-matches") and walked.method == "DELETE":
        return {"query_string": {"item_number": "X-1"}}
    return {}


def send(office: Office, walked: Walked, path: str, **more: Any) -> Any:
    return office.send(walked.method, path, headers={"If-Match": "*"}, **more)


def everything(database: Database, scope: Scope) -> dict[str, int]:
    """Rows of an organisation by table, with the sum of their versions."""
    counted: dict[str, int] = {}
    with database.reading() as session:
        for table in OwnedRow.__subclasses__() + [
            one for each in OwnedRow.__subclasses__() for one in each.__subclasses__()
        ]:
            if "__tablename__" in vars(table):
                rows = session.scalars(scope.rows(table)).all()
                changed = sum(getattr(row, "version", 0) for row in rows)
                counted[table.__tablename__] = len(rows) * 1_000_000 + changed
    return counted


def test_every_identifier_in_an_address(
    office_app: Flask, office_database: Database, both: Any, interface: dict[str, Any]
) -> None:
    mine, my_ids, theirs, their_ids = both
    before = everything(office_database, theirs.scope)
    walked_through = 0

    for walked in walk(office_app):
        known = [name for name in walked.identifiers if name in my_ids]
        assert known == walked.identifiers, f"{walked}: teach furnish() to make one"
        for position in known:
            # Everything else in the address is my own: only this one identifier is theirs.
            address = {**values(my_ids, walked), position: their_ids[position]}
            answer = send(mine, walked, walked.path(address), **body_of(interface, walked))
            assert answer.status_code == 404, f"{walked} {position}: {answer.text}"
            walked_through += 1

    assert walked_through > 60
    assert everything(office_database, theirs.scope) == before


def test_the_same_addresses_open_to_their_owner(office_app: Flask, both: Any) -> None:
    """Else the test above would be content with addresses that nothing answers."""
    _, _, theirs, their_ids = both

    for walked in walk(office_app):
        if walked.method != "GET" or not walked.identifiers:
            continue
        path = walked.path(values(their_ids, walked))
        answer = theirs.get(path)
        # There is no second version to compare, and the task made no file.
        alone = path.endswith(("/difference", "/file"))
        assert answer.status_code == (404 if alone else 200), f"{walked}: {answer.text}"


def positions(schema: dict[str, Any], interface: dict[str, Any]) -> Iterator[tuple[str, bool]]:
    """(Name, whether a list) of every identifier that a body may hold, nested ones too."""
    name = schema.get("$ref", "").rpartition("/")[2]
    whole = interface["components"]["schemas"][name] if name else schema
    for field, about in whole.get("properties", {}).items():
        if about.get("format") == "uuid":
            yield field, False
        elif about.get("items", {}).get("format") == "uuid":
            yield field, True


def test_every_identifier_in_a_body(
    office_app: Flask, office_database: Database, both: Any, interface: dict[str, Any]
) -> None:
    mine, my_ids, theirs, their_ids = both
    before = everything(office_database, theirs.scope)
    found = set()

    for walked in walk(office_app):
        operation = interface["paths"][walked.documented][walked.method.lower()]
        content = operation.get("requestBody", {}).get("content", {}).get("application/json", {})
        for field, many in positions(content.get("schema", {}), interface):
            example = dict(content["example"])
            for name in example:
                if name in my_ids:
                    example[name] = my_ids[name]
            assert field in their_ids, f"{walked} {field}: teach furnish() to make one"
            example[field] = [their_ids[field]] if many else their_ids[field]
            path = walked.path(values(my_ids, walked))
            answer = send(mine, walked, path, json=example)
            assert answer.status_code == 404, f"{walked} {field}: {answer.text}"
            found.add(field)

    assert {"customer_id", "supplier_id", "job_id", "catalogue_versions", "rate_sheet",
            "labour_table", "programmes"} <= found  # fmt: skip
    assert everything(office_database, theirs.scope) == before


def test_every_identifier_behind_the_question_mark(
    office_app: Flask, both: Any, interface: dict[str, Any]
) -> None:
    mine, my_ids, _, their_ids = both
    found = set()

    for walked in walk(office_app):
        operation = interface["paths"][walked.documented][walked.method.lower()]
        for parameter in operation.get("parameters", []):
            name = parameter["name"]
            asked = parameter["in"] == "query" and parameter["schema"].get("format") == "uuid"
            if not asked or name in _NO_POSITION:
                continue
            path = walked.path(values(my_ids, walked))
            query = {"item_number": "X-1"} if walked.method == "DELETE" else {}
            answer = mine.send(walked.method, path, query_string={**query, name: their_ids[name]})
            assert answer.status_code == 404, f"{walked} {name}: {answer.text}"
            found.add(name)

    assert {"customer_id", "job_id", "supplier_id"} <= found


def test_nested_means_of_a_revision(both: Any) -> None:
    mine, my_ids, _, their_ids = both
    path = f"/quotes/{my_ids['quote_id']}/revisions"
    for field in ("rate_sheet", "labour_table"):
        answer = mine.post(path, {"means": {field: their_ids[field]}}, headers={"If-Match": "*"})
        assert answer.status_code == 404
    means = {"catalogue_versions": [their_ids["catalogue_versions"]]}
    assert mine.post(path, {"means": means}, headers={"If-Match": "*"}).status_code == 404


def test_lists_hold_nothing_of_others(office_app: Flask, both: Any) -> None:
    mine, _, theirs, their_ids = both

    for walked in walk(office_app):
        if walked.method == "GET" and not walked.arguments:
            told = mine.get(walked.path({})).text
            for identifier in their_ids.values():
                assert identifier not in told, walked
    assert theirs.shown("/quotes")["rows"][0]["id"] == their_ids["quote_id"]


def test_a_link_of_one_quote_is_not_revoked_through_another(both: Any) -> None:
    mine, my_ids, _, _ = both
    other = mine.made("/jobs", {"name": "Other", "description": JOB})["id"]
    quote = mine.made("/quotes", {"job_id": other})["id"]

    assert mine.delete(f"/quotes/{quote}/links/{my_ids['link_id']}").status_code == 404
