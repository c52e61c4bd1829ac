"""Conditional and repeated requests, errors and media types, by table.

RFC 9110 sections 13.1.1 (If-Match), 13.1.2 (If-None-Match), 15 (statuses), 8.8.3 (ETag);
RFC 6585 section 3 (428); RFC 9457 section 3 (problem details). Idempotency-Key: own convention
after the httpapi working group's draft, which is no standard.
"""

import pytest
from web.api.office import Office


@pytest.fixture
def customer(office: Office) -> str:
    """The address of a customer at version 2."""
    made = office.made("/customers", {"name": "A"})
    address = f"/customers/{made['id']}"
    assert office.put(address, {"name": "B"}).headers["ETag"] == '"2"'
    return address


@pytest.mark.parametrize(
    ("tag", "status"),
    [
        ('"2"', 200),
        ("*", 200),
        ('"1", "2"', 200),
        ('"2","9"', 200),
        ('W/"2"', 412),  # 13.1.1: If-Match compares strongly
        ('"1"', 412),
        ('"02"', 412),
        ('"99999999999999999999"', 412),
        (None, 428),
        ("2", 400),
        ("", 400),
        ('"2', 400),
    ],
)
def test_a_change_needs_the_version_that_was_read(
    office: Office, customer: str, tag: str | None, status: int
) -> None:
    answer = office.put(customer, {"name": "C"}, tag=tag)

    assert answer.status_code == status
    assert office.shown(customer)["name"] == ("C" if status == 200 else "B")


@pytest.mark.parametrize(("tag", "status"), [('"2"', 204), ('"1"', 412), (None, 428)])
def test_a_removal_needs_the_version_that_was_read(
    office: Office, customer: str, tag: str | None, status: int
) -> None:
    assert office.delete(customer, tag=tag).status_code == status
    assert office.get(customer).status_code == (404 if status == 204 else 200)


@pytest.mark.parametrize(
    ("tag", "status"),
    [
        ('"2"', 304),
        ('W/"2"', 304),  # 13.1.2: If-None-Match compares weakly
        ("*", 304),
        ('"1", "2"', 304),
        ('"1"', 200),
    ],
)
def test_what_is_known_already_is_not_sent_again(
    office: Office, customer: str, tag: str, status: int
) -> None:
    answer = office.get(customer, headers={"If-None-Match": tag})

    assert answer.status_code == status
    assert bool(answer.data) == (status == 200)
    assert answer.headers["ETag"] == '"2"'


def test_a_list_is_not_sent_again_until_it_changes(office: Office, customer: str) -> None:
    tag = office.get("/customers").headers["ETag"]

    assert office.get("/customers", headers={"If-None-Match": tag}).status_code == 304
    office.put(customer, {"name": "C"})
    assert office.get("/customers", headers={"If-None-Match": tag}).status_code == 200


def test_of_two_writers_the_second_is_refused(office: Office, customer: str) -> None:
    one = office.get(customer).headers["ETag"]
    two = office.get(customer).headers["ETag"]

    assert office.put(customer, {"name": "One"}, tag=one).status_code == 200
    assert office.put(customer, {"name": "Two"}, tag=two).status_code == 412
    assert office.shown(customer)["name"] == "One"


KEY = {"Idempotency-Key": "6f0c"}


def test_a_repeated_post_is_done_once_and_answered_the_same(office: Office) -> None:
    first = office.post("/customers", {"name": "A"}, headers=KEY)
    second = office.post("/customers", {"name": "A"}, headers=KEY)

    assert (first.status_code, second.status_code) == (201, 201)
    assert second.data == first.data
    for header in ("Location", "ETag", "Content-Type"):
        assert second.headers[header] == first.headers[header]
    assert "Idempotency-Replayed" not in first.headers
    assert second.headers["Idempotency-Replayed"] == "true"
    assert office.shown("/customers")["total"] == 1


@pytest.mark.parametrize(
    ("key", "status"),
    [
        ("6f0c", 201),
        ('"6f0c"', 201),
        ("x" * 255, 201),
        ("x" * 256, 400),
        ("", 400),
        ("two words", 400),
        ("k\u00e9", 400),
    ],
)
def test_a_key_is_visible_ascii(office: Office, key: str, status: int) -> None:
    answer = office.post("/customers", {"name": "A"}, headers={"Idempotency-Key": key})

    assert answer.status_code == status


def test_a_key_stands_for_one_request_only(office: Office) -> None:
    office.made("/customers", {"name": "A"}, headers=KEY)

    assert office.post("/customers", {"name": "B"}, headers=KEY).status_code == 409
    assert office.post("/suppliers", {"name": "A"}, headers=KEY).status_code == 409
    assert office.shown("/customers")["total"] == 1


def test_a_request_that_was_refused_may_be_mended_under_its_key(office: Office) -> None:
    assert office.post("/customers", {"name": ""}, headers=KEY).status_code == 422
    assert office.post("/customers", {"name": "A"}, headers=KEY).status_code == 201


def test_keys_of_two_organisations_do_not_meet(office: Office, neighbour: Office) -> None:
    mine = office.made("/customers", {"name": "A"}, headers=KEY)
    theirs = neighbour.made("/customers", {"name": "A"}, headers=KEY)

    assert mine["id"] != theirs["id"]


@pytest.mark.parametrize(
    ("more", "status"),
    [
        ({"data": b"{", "content_type": "application/json"}, 400),
        ({"data": b"\xff", "content_type": "application/json"}, 400),
        ({"data": b'{"name": "A", "name": "B"}', "content_type": "application/json"}, 400),
        ({"data": b"[" * 100, "content_type": "application/json"}, 400),
        ({"data": b"[]", "content_type": "application/json"}, 422),
        ({"data": b"null", "content_type": "application/json"}, 422),
        ({"data": b'{"name": "A"}', "content_type": "text/plain"}, 415),
        ({"data": b"name=A", "content_type": "application/x-www-form-urlencoded"}, 415),
        ({"data": b'{"name": "A"}'}, 415),
        ({"data": b'{"name": "A"}', "content_type": "application/json; charset=utf-8"}, 201),
    ],
)
def test_a_body_is_json_or_refused(office: Office, more: dict[str, object], status: int) -> None:
    answer = office.send("POST", "/customers", **more)

    assert answer.status_code == status
    if status != 201:
        check_problem(answer.json, status)
        assert answer.mimetype == "application/problem+json"


def check_problem(problem: dict[str, object], status: int) -> None:
    """RFC 9457, section 3.1: the members and their types."""
    assert problem["type"] == "about:blank"
    assert problem["status"] == status
    assert isinstance(problem["title"], str) and problem["title"]
    assert isinstance(problem["detail"], str)


def test_a_body_beyond_the_limit_is_refused(office: Office) -> None:
    most = office.app.config["MAX_CONTENT_LENGTH"]
    office.app.config["MAX_CONTENT_LENGTH"] = 1000
    try:
        answer = office.post("/customers", {"name": "A", "note": "x" * 2000})
    finally:
        office.app.config["MAX_CONTENT_LENGTH"] = most

    assert answer.status_code == 413
    check_problem(answer.json, 413)


@pytest.mark.parametrize(
    ("method", "path", "status"),
    [
        ("GET", "/customers/1", 404),
        ("GET", "/customers/018f0000-0000-7000-8000-000000000001", 404),
        ("GET", "/nothing", 404),
        ("PATCH", "/customers", 405),
    ],
)
def test_what_is_not_there_is_a_problem_too(
    office: Office, method: str, path: str, status: int
) -> None:
    answer = office.send(method, path)

    assert answer.status_code == status
    assert answer.mimetype == "application/problem+json"
    check_problem(answer.json, status)
    if status == 405:  # RFC 9110, section 15.5.6
        assert "POST" in answer.headers["Allow"]
