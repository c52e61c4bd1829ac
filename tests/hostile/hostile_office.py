"""An office in shared mode whose every kept text is what the caller of ``furnish`` writes."""

import io
import json
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any

from payloads import hostile_rows
from web.api.furnished import JOB, LABOUR, NORTH, PROGRAMME, WIRE
from web.people.shared_service import SHARED, Browser, Office, Program, Service, hashed

from estimator.store import access, invitations
from estimator.store.organisations import add_organisation
from estimator.store.people import add_membership, add_person
from estimator.store.scope import Scope
from estimator.tasks.run import run_next

Say = Callable[[str], str]
"""What is written at a place, by the name of the place."""


@dataclass
class Furnished:
    """An office and every value that an address of it may hold, by the argument's name."""

    office: Office
    program: Program
    browser: Browser
    values: dict[str, list[str]] = field(default_factory=dict)

    def keep(self, name: str, value: object) -> str:
        self.values.setdefault(name, []).append(str(value))
        return str(value)


def furnish(service: Service, say: Say) -> Furnished:
    """Make one of everything. Every text that is free is taken from ``say``."""
    made = _people(service, say)
    _organisation(made, say)
    _lists(made, say)
    _quotes(made, say)
    _tasks(made, say)
    return made


def ask(made: Furnished, method: str, path: str, **how: Any) -> Any:
    answer = made.program(method, f"/api/v1{path}", **how)
    assert answer.status_code < 300, f"{method} {path}: {answer.text}"
    return answer.get_json() if answer.data else None


def _people(service: Service, say: Say) -> Furnished:
    at = datetime.now(UTC)
    until = at + timedelta(days=30)
    with service.database.writing() as session:
        organisation = add_organisation(session, say("organisation"), at)
        scope = Scope(organisation.id, at, None, "Test")
        office = Office(service, scope)
        for role in ("owner", "reader"):
            email = f"{role}.{organisation.id}@example.org"
            person = add_person(session, email, say(f"person {role}"), hashed(), at)
            add_membership(session, scope, person.id, role)  # type: ignore[arg-type]
            name = say(f"token {role}")
            row, secret = access.add_token(session, scope, person.id, name, "owner", until)
            office.people[role], office.emails[role] = person.id, email  # type: ignore[index]
            office.tokens[role] = secret.text  # type: ignore[index]
        invited, joining = invitations.invite(session, scope, '"><b>@example.org', "reader", until)
    made = Furnished(office, office.program("owner"), office.browser("owner"))
    made.keep("person_id", person.id)
    made.keep("token_id", row.id)
    made.keep("invitation_id", invited.id)
    made.keep("join", joining.text)
    return made


def _organisation(made: Furnished, say: Say) -> None:
    head = "\n".join(say(f"head {line}") for line in range(3))
    body = {"name": say("organisation"), "head": head}
    ask(made, "PUT", "/organisation", json=body, headers={"If-Match": "*"})
    customer = {each: say(f"customer {each}") for each in ("name", "address", "note", "phone")}
    made.keep("customer_id", ask(made, "POST", "/customers", json=customer)["id"])
    rates = {"terms": {"markup_percent": 30}, "labour": {"hourly_rate": "80.00"}}
    programme = re.sub(
        r"^(programme|authority) = .*$",
        lambda found: f"{found[1]} = {json.dumps(say(found[1]))}",
        PROGRAMME, flags=re.MULTILINE,
    )  # fmt: skip
    for kind, content in (
        ("rate-sheets", json.dumps(rates)), ("labour-tables", LABOUR), ("programmes", programme),
    ):  # fmt: skip
        body = {"name": say(kind), "content": content}
        made.keep(kind, ask(made, "POST", f"/own-documents/{kind}", json=body)["id"])


def _lists(made: Furnished, say: Say) -> None:
    body = {"name": say("supplier"), "note": say("supplier note")}
    supplier = made.keep("supplier_id", ask(made, "POST", "/suppliers", json=body)["id"])
    body = {"name": say("catalogue"), "supplier_id": supplier}
    catalogue = made.keep("catalogue_id", ask(made, "POST", "/catalogues", json=body)["id"])
    text = _list(say)
    for file, data in (("first", text), ("second", text.replace(",0.41,", ",0.45,"))):
        ask(
            made, "POST", f"/catalogues/{catalogue}/versions",
            query_string={"file_name": f"{say(f'file {file}')}.csv"},
            data=data.encode(), content_type="text/csv",
        )  # fmt: skip
    terms = {"minimum_order": "20"}
    ask(made, "PUT", f"/suppliers/{supplier}/terms/USD", json=terms)
    match = {
        "supplier_id": supplier, "item_number": say("confirmed"), "kind": "conductor",
        "attributes": WIRE,
    }  # fmt: skip
    ask(made, "PUT", "/confirmed-matches", json=match)
    # As a browser sends it: a file that waits for its columns to be told.
    sent = made.browser.client.post(
        "/lists", base_url=SHARED.public_url,
        data={
            "csrf": made.browser.csrf(), "supplier": say("page supplier"),
            "name": say("page list"),
            "file": (io.BytesIO(text.encode()), f"{say('page file')}.csv"),
        },
    )  # fmt: skip
    assert sent.status_code == 303, sent.text
    address, question, query = sent.headers["Location"].partition("?")
    made.keep("file_id", address.rpartition("/")[2])
    made.keep("columns", question + query)


def _list(say: Say) -> str:
    """A price list; a cell of it that begins a formula would be refused, so none does."""
    return hostile_rows(NORTH.decode(), lambda place: f"a{say(place)}")


def _quotes(made: Furnished, say: Say) -> None:
    description = {
        **JOB,
        "name": say("job description"),
        "circuits": [
            {**JOB["circuits"][0], "name": say(f"circuit {number}")} for number in range(3)
        ],
        "direct_loads": [{"name": say("plugged"), "outlet": "5-15", "running_w": 40}],
    }
    body: dict[str, Any] = {
        "name": say("job"), "customer_id": made.values["customer_id"][0],
        "description": description, "note": say("job note"),
    }  # fmt: skip
    job = made.keep("job_id", ask(made, "POST", "/jobs", json=body)["id"])
    body = {
        "job_id": job, "title": say("quote"), "rate_sheet": made.values["rate-sheets"][0],
        "programmes": made.values["programmes"],
        "programme_facts": {"household_income": "90000"},
        "stated": ["error_finding", "proposed_match", "unpriced_part"],
    }  # fmt: skip
    for answer in ("accept", "decline"):
        made_quote = ask(made, "POST", "/quotes", json={**body, "title": say(f"quote {answer}")})
        quote = made.keep("quote_id", made_quote["id"])
        body_of_step = {"reason": say("reason")}
        any_version = {"If-Match": "*"}
        ask(made, "POST", f"/quotes/{quote}/revisions", json=body_of_step, headers=any_version)
        note = {"note": say("sent")}
        ask(made, "POST", f"/quotes/{quote}/send", json=note, headers=any_version)
        link = ask(made, "POST", f"/quotes/{quote}/links", json={})
        made.keep("link_id", link["id"])
        made.keep("secret", link["secret"])
        # The customer's own words, by the page and by the interface.
        if answer == "accept":
            done = made.office.service.app.test_client().post(
                f"/offer/{link['secret']}",
                data={"answer": "accepted", "revision": "2", "name": say("signed"), "why": "."},
            )
            assert done.status_code == 303, done.text
        else:
            ask(
                made, "POST", f"/links/{link['secret']}/decline",
                json={"revision": 2, "note": say("declined")},
            )  # fmt: skip


def _tasks(made: Furnished, say: Say) -> None:
    catalogue = made.values["catalogue_id"][0]
    # The second one fails, and says why.
    for data in (_list(say), f"{say('head')},b\n1,2\n"):
        task = ask(
            made, "POST", f"/tasks/import/{catalogue}",
            query_string={"file_name": f"{say('task file')}.csv"},
            data=data.encode(), content_type="text/csv",
        )  # fmt: skip
        made.keep("task_id", task["id"])
    made.keep("task_id", ask(made, "POST", "/organisation/export")["id"])
    while run_next(made.office.service.database):
        pass
