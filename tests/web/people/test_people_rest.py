"""People, tokens, invitations, the organisation and its tasks over REST."""

import io
import json
import zipfile
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from tasks.office import LIST, dearer, job_document
from web.people.shared_service import SHARED, Browser, Office, Program, Service
from werkzeug.test import TestResponse

from estimator.store.jobs import add_job
from estimator.store.tables.organisations import AccessTokenRow
from estimator.tasks.run import run_next
from estimator.web import rate_limits


def send(browser: Browser, method: str, path: str, **how: Any) -> TestResponse:
    headers = {"X-CSRF-Token": browser.csrf(), **how.pop("headers", {})}
    return browser.client.open(
        path, method=method, base_url=SHARED.public_url, headers=headers, **how
    )


def work_off(service: Service) -> None:
    while run_next(service.database):
        pass


def test_a_token_may_do_what_it_and_its_person_may(office: Office) -> None:
    browser = office.browser("estimator")
    made = {}
    for role in ("owner", "estimator", "reader"):
        answer = send(browser, "POST", "/api/v1/tokens", json={"name": role, "role": role})
        assert answer.status_code == 201, answer.text
        made[role] = answer.get_json()

    seen = {}
    for role, token in made.items():
        program = Program(office.service.app.test_client(), token["secret"])
        seen[role] = program("GET", "/api/v1/me").get_json()["role"]
    assert seen == {"owner": "estimator", "estimator": "estimator", "reader": "reader"}
    reader = Program(office.service.app.test_client(), made["reader"]["secret"])
    assert reader("POST", "/api/v1/customers", json={"name": "A"}).status_code == 403
    assert made["reader"]["secret"] not in browser.get("/api/v1/tokens").text


def test_a_repeated_request_for_a_token_gets_the_token_without_its_secret(office: Office) -> None:
    browser, key = office.browser("owner"), {"Idempotency-Key": uuid4().hex}
    first, second = (
        send(browser, "POST", "/api/v1/tokens", json={"name": "x"}, headers=dict(key))
        for _ in range(2)
    )

    assert first.get_json()["id"] == second.get_json()["id"]
    assert first.get_json()["secret"].startswith("t_")
    assert second.get_json()["secret"] is None


def test_a_token_cannot_make_ways_in_nor_remove_the_organisation(office: Office) -> None:
    program = office.program("owner")
    invitation = {"email": "a@example.org", "role": "reader"}
    name = program("GET", "/api/v1/organisation").get_json()["name"]

    assert program("POST", "/api/v1/tokens", json={"name": "x"}).status_code == 403
    assert program("POST", "/api/v1/invitations", json=invitation).status_code == 403
    removed = program(
        "DELETE", "/api/v1/organisation", json={"name": name}, headers={"If-Match": "*"}
    )
    assert removed.status_code == 403


def test_tokens_that_are_forged_revoked_or_run_out_get_nothing(office: Office) -> None:
    program = office.program("reader")
    client = office.service.app.test_client()
    rows = program("GET", "/api/v1/tokens").get_json()["rows"]
    assert [row["person_id"] for row in rows] == [str(office.people["reader"])]

    for text in ("Bearer t_" + "x" * 43, "Bearer ", "Basic abc", "Bearer " + program.token[:-1]):
        answer = client.get("/api/v1/me", headers={"Authorization": text})
        assert answer.status_code == 401
        assert answer.headers["WWW-Authenticate"].startswith("Bearer")
    with office.service.database.writing() as session:
        row = session.get_one(
            AccessTokenRow, (office.scope.organisation_id, office_id(rows)),
            execution_options=office.scope.options,
        )  # fmt: skip
        row.expires_at = datetime.now(UTC) - timedelta(seconds=1)
    assert program("GET", "/api/v1/me").status_code == 401

    owner = office.program("owner")
    every = owner("GET", "/api/v1/tokens").get_json()["rows"]
    assert len(every) == 3
    own = next(row for row in every if row["person_id"] == str(office.people["owner"]))
    assert owner("DELETE", f"/api/v1/tokens/{own['id']}").status_code == 204
    assert owner("GET", "/api/v1/me").status_code == 401


def office_id(rows: list[dict[str, Any]]) -> Any:
    from uuid import UUID

    return UUID(rows[0]["id"])


def test_others_tokens_are_an_owners_business(service: Service, office: Office) -> None:
    other = service.office()
    of_owner = next(
        row["id"]
        for row in office.program("owner")("GET", "/api/v1/tokens").get_json()["rows"]
        if row["person_id"] == str(office.people["owner"])
    )

    for program in (office.program("reader"), other.program("owner")):
        assert program("GET", f"/api/v1/tokens/{of_owner}").status_code == 404
        assert program("DELETE", f"/api/v1/tokens/{of_owner}").status_code == 404
    assert office.program("owner")("GET", f"/api/v1/tokens/{of_owner}").status_code == 200


def test_many_wrong_tokens_from_one_place_have_to_wait(
    service: Service, office: Office, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(rate_limits.bad_tokens.__class__, "_limit", limit_of_three)
    client = service.app.test_client()
    place = {"REMOTE_ADDR": f"192.0.2.{uuid4().int % 200}"}

    def guess(token: str) -> int:
        return client.get(
            "/api/v1/me", headers={"Authorization": f"Bearer {token}"}, environ_base=place
        ).status_code

    assert [guess("t_" + "x" * 43) for _ in range(5)] == [401, 401, 401, 429, 429]
    assert guess(office.tokens["owner"]) == 429
    assert office.program("owner")("GET", "/api/v1/me").status_code == 200


def limit_of_three(_self: object) -> Any:
    from limits import RateLimitItemPerMinute

    return RateLimitItemPerMinute(3, 15)


def test_a_program_that_asks_too_often_is_told_when_to_go_on(service: Service) -> None:
    from dataclasses import replace

    slow = Service(service.database, replace(SHARED, requests_per_minute=3))
    office = slow.office()
    program = office.program("reader")

    answers = [program("GET", "/api/v1/me") for _ in range(4)]

    assert [answer.status_code for answer in answers] == [200, 200, 200, 429]
    assert 0 < int(answers[-1].headers["Retry-After"]) <= 61
    assert office.program("owner")("GET", "/api/v1/me").status_code == 200


def test_roles_are_changed_with_the_version_and_the_last_owner_stays(office: Office) -> None:
    owner = office.program("owner")
    path = f"/api/v1/people/{office.people['reader']}"
    read = owner("GET", path)

    without = owner("PUT", path, json={"role": "owner"})
    changed = owner("PUT", path, json={"role": "owner"}, headers={"If-Match": read.headers["ETag"]})
    stale = owner("PUT", path, json={"role": "reader"}, headers={"If-Match": read.headers["ETag"]})
    odd = owner("PUT", path, json={"role": "boss"}, headers={"If-Match": "*"})
    own = f"/api/v1/people/{office.people['owner']}"
    left = owner("DELETE", own, headers={"If-Match": "*"})

    assert (without.status_code, changed.status_code, stale.status_code) == (428, 200, 412)
    assert (odd.status_code, odd.get_json()["faults"][0]["where"]) == (422, "/role")
    assert left.status_code == 204
    assert owner("GET", "/api/v1/me").status_code == 401  # the token ends with the membership
    new_owner = office.program("reader")
    last = new_owner("DELETE", path, headers={"If-Match": "*"})
    assert (last.status_code, "needs an owner" in last.get_json()["detail"]) == (409, True)


def test_the_organisation_is_renamed_by_its_owner(office: Office) -> None:
    owner = office.program("owner")
    etag = owner("GET", "/api/v1/organisation").headers["ETag"]
    body = {"name": "Invented Wiring", "head": "12 Example Road"}

    changed = owner("PUT", "/api/v1/organisation", json=body, headers={"If-Match": etag})

    assert changed.status_code == 200
    assert changed.get_json()["head"] == "12 Example Road"
    assert office.program("reader")("GET", "/api/v1/organisation").get_json()["name"] == (
        "Invented Wiring"
    )


def test_an_owner_takes_everything_out_and_then_ends_the_organisation(
    service: Service, office: Office
) -> None:
    other = service.office()
    owner, browser = office.program("owner"), office.browser("owner")
    assert owner("POST", "/api/v1/customers", json={"name": "A. Homeowner"}).status_code == 201
    asked = owner("POST", "/api/v1/organisation/export")
    assert asked.status_code == 202, asked.text
    work_off(service)
    at = asked.headers["Location"]
    task = owner("GET", at).get_json()
    assert task["state"] == "done", task
    archive = owner("GET", f"{at}/file")

    assert office.program("reader")("GET", f"{at}/file").status_code == 404
    assert other.program("owner")("GET", f"{at}/file").status_code == 404
    with zipfile.ZipFile(io.BytesIO(archive.data)) as opened:
        customers = [json.loads(line) for line in opened.read("customers.jsonl").splitlines()]
    assert [each["name"] for each in customers] == ["A. Homeowner"]

    name = owner("GET", "/api/v1/organisation").get_json()["name"]
    wrong = send(
        browser, "DELETE", "/api/v1/organisation", json={"name": "x"}, headers={"If-Match": "*"}
    )
    right = send(
        browser, "DELETE", "/api/v1/organisation", json={"name": name}, headers={"If-Match": "*"}
    )

    assert (wrong.status_code, right.status_code) == (422, 204)
    assert owner("GET", "/api/v1/me").status_code == 401
    assert browser.sign_in(office.emails["owner"]).status_code == 401
    assert other.program("owner")("GET", "/api/v1/me").status_code == 200


def test_a_list_is_imported_in_the_background_and_quotes_get_its_prices(
    service: Service, office: Office
) -> None:
    estimator = office.program("estimator")
    catalogue = estimator("POST", "/api/v1/catalogues", json={"name": "Counter"}).get_json()["id"]
    path = f"/api/v1/tasks/import/{catalogue}?file_name=counter.csv"
    first = estimator("POST", path, data=LIST, content_type="text/csv")
    assert first.status_code == 202, first.text
    work_off(service)
    job = estimator("POST", "/api/v1/jobs", json={"name": "House", "description": job_document()})
    quote = estimator("POST", "/api/v1/quotes", json={"job_id": job.get_json()["id"]})
    assert quote.status_code == 201, quote.text
    before = quote.get_json()["total"]

    second = estimator("POST", f"{path}&reprice=true", data=dearer(LIST), content_type="text/csv")
    work_off(service)

    task = estimator("GET", second.headers["Location"]).get_json()
    assert task["state"] == "done", task
    reprice = estimator("GET", f"/api/v1/tasks/{task['result']['reprice_task_id']}").get_json()
    assert reprice["pieces"]["done"] == 1
    assert reprice["pieces"]["counts"]["repriced"] == 1
    after = estimator("GET", f"/api/v1/quotes/{quote.get_json()['id']}").get_json()
    assert float(after["total"]) > float(before)
    kinds = [row["kind"] for row in estimator("GET", "/api/v1/tasks").get_json()["rows"]]
    assert kinds == ["reprice", "import", "import"]
    done = estimator("POST", f"/api/v1/tasks/{reprice['id']}/cancel")
    assert (done.status_code, "done already" in done.get_json()["detail"]) == (409, True)


def test_a_task_that_waits_is_cancelled_and_another_organisations_is_not_seen(
    service: Service, office: Office
) -> None:
    with service.database.writing() as session:
        job = add_job(session, office.scope, "House", job_document()).id
    estimator, other = office.program("estimator"), service.office().program("owner")
    asked = estimator("POST", "/api/v1/tasks/batch-estimate", json={"job_ids": [str(job)]})
    at = asked.headers["Location"]

    assert other("GET", at).status_code == 404
    assert other("POST", f"{at}/cancel").status_code == 404
    assert other(
        "POST", "/api/v1/tasks/batch-estimate", json={"job_ids": [str(job)]}
    ).status_code == 404  # fmt: skip
    stopped = estimator("POST", f"{at}/cancel")
    assert (stopped.status_code, stopped.get_json()["state"]) == (200, "cancelled")
    listed = estimator("GET", "/api/v1/tasks?state=cancelled").get_json()
    assert [row["id"] for row in listed["rows"]] == [asked.get_json()["id"]]
    assert estimator("GET", "/api/v1/tasks?state=odd").status_code == 422
