"""Shutting people out and letting them in again over REST."""

from web.people.shared_service import Office


def at(office: Office, role: str, step: str = "") -> str:
    key = office.people[role]  # type: ignore[index]
    return f"/api/v1/people/{key}" + (f"/{step}" if step else "")


def test_who_is_shut_out_gets_in_nowhere_until_let_in_again(office: Office) -> None:
    owner, theirs = office.program("owner"), office.program("reader")
    browser = office.browser("reader")

    out = owner("POST", at(office, "reader", "shut-out"))

    assert (out.status_code, out.get_json()["disabled"]) == (200, True)
    assert theirs("GET", "/api/v1/me").status_code == 401
    assert browser.get("/account").status_code == 303
    assert office.service.browser().sign_in(office.emails["reader"]).status_code == 401
    again = owner("POST", at(office, "reader", "let-in"))
    assert (again.status_code, again.get_json()["disabled"]) == (200, False)
    assert theirs("GET", "/api/v1/me").status_code == 200
    assert browser.get("/account").status_code == 303  # sign-ins ended for good
    assert office.service.browser().sign_in(office.emails["reader"]).status_code == 303


def test_the_etag_tells_that_somebody_was_shut_out(office: Office) -> None:
    owner = office.program("owner")
    before = owner("GET", at(office, "reader"))
    known = {"If-None-Match": before.headers["ETag"]}
    assert owner("GET", at(office, "reader"), headers=known).status_code == 304

    out = owner("POST", at(office, "reader", "shut-out"))
    read = owner("GET", at(office, "reader"), headers=known)

    assert read.status_code == 200
    assert read.get_json() == out.get_json()
    assert read.headers["ETag"] == out.headers["ETag"] != before.headers["ETag"]


def test_nobody_shuts_out_themselves_the_last_owner_or_somebody_elsewhere(office: Office) -> None:
    owner, other = office.program("owner"), office.service.office()

    oneself = owner("POST", at(office, "owner", "shut-out"))
    unknown = owner("POST", at(other, "reader", "shut-out"))
    from_there = other.program("owner")("POST", at(office, "reader", "let-in"))

    assert (oneself.status_code, "another owner can" in oneself.get_json()["detail"]) == (409, True)
    assert (unknown.status_code, from_there.status_code) == (404, 404)
    assert not other.program("owner")("GET", at(other, "reader")).get_json()["disabled"]


def test_only_owners_may_and_it_is_written_down(office: Office) -> None:
    for role in ("reader", "estimator"):
        program = office.program(role)  # type: ignore[arg-type]
        for step in ("shut-out", "let-in"):
            assert program("POST", at(office, "reader", step)).status_code == 403

    owner = office.program("owner")
    key = {"Idempotency-Key": f"once-{office.people['reader']}"}
    assert [
        owner("POST", at(office, "reader", "shut-out"), headers=dict(key)).status_code
        for _ in range(2)
    ] == [200, 200]
    trail = owner("GET", "/api/v1/audit").get_json()["rows"]
    assert [row["action"] for row in trail].count("shut out") == 1
