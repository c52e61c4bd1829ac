"""Customers: made, changed, put aside, removed, listed in pages."""

from web.api.furnished import JOB
from web.api.office import Office


def add(office: Office, *names: str) -> None:
    for name in names:
        office.made("/customers", {"name": name})


def names(office: Office, query: str) -> list[str]:
    return [row["name"] for row in office.shown(f"/customers?{query}")["rows"]]


def test_a_customer_is_kept_and_shown_as_told(office: Office) -> None:
    told = {"name": "A. Homeowner", "email": "a@example.org", "phone": "555-0100",
            "address": "12 Example Road\nExample Town", "note": "Dog."}  # fmt: skip
    answer = office.post("/customers", told)

    assert answer.status_code == 201
    assert answer.headers["Location"] == f"/api/v1/customers/{answer.json['id']}"
    kept = office.shown(f"/customers/{answer.json['id']}")
    assert {name: kept[name] for name in told} == told
    assert kept == answer.json


def test_every_fault_of_a_body_is_told_at_once(office: Office) -> None:
    answer = office.post("/customers", {"name": "", "emial": "x", "phone": 5, "note": "a\u0000b"})

    assert answer.status_code == 422
    where = sorted(fault["where"] for fault in answer.json["faults"])
    assert where == ["/emial", "/name", "/note", "/phone"]
    assert office.shown("/customers")["total"] == 0


def test_a_change_takes_the_place_of_everything_that_was_told(office: Office) -> None:
    made = office.made("/customers", {"name": "A", "phone": "555-0100"})

    changed = office.put(f"/customers/{made['id']}", {"name": "B"}).json

    assert (changed["name"], changed["phone"]) == ("B", "")
    assert changed["version"] > made["version"]


def test_what_is_put_aside_is_listed_apart(office: Office) -> None:
    add(office, "Here")
    away = office.made("/customers", {"name": "Away"})
    office.put(f"/customers/{away['id']}", {"name": "Away", "archived": True})

    assert names(office, "") == ["Here"]
    assert names(office, "archived=true") == ["Away"]
    office.put(f"/customers/{away['id']}", {"name": "Away"})
    assert names(office, "") == ["Away", "Here"]


def test_pages_follow_one_another_without_gap(office: Office) -> None:
    add(office, "E", "C", "A", "D", "B")

    first = office.get("/customers?limit=2")
    assert [row["name"] for row in first.json["rows"]] == ["A", "B"]
    assert first.json["total"] == 5
    seen, link = [], "</api/v1/customers?limit=2>"
    while link:
        path = link.partition(">")[0].removeprefix("</api/v1")
        page = office.get(path)
        seen += [row["name"] for row in page.json["rows"]]
        links = page.headers.get("Link", "").split(", ")
        link = next((each for each in links if 'rel="next"' in each), "")
    assert seen == ["A", "B", "C", "D", "E"]


def test_lists_are_sorted_and_searched(office: Office) -> None:
    add(office, "House on the hill", "Mill house", "Barn 100%", "Barn 1000")

    assert names(office, "sort=-name")[0] == "Mill house"
    assert names(office, "search=HOUSE%20hill") == ["House on the hill"]
    # Signs with a meaning in patterns stand for themselves.
    assert names(office, "search=100%25") == ["Barn 100%"]


def test_an_address_that_cannot_be_used_is_refused_with_every_fault(office: Office) -> None:
    answer = office.get("/customers?limit=0&offset=x&archived=yes&colour=red")

    assert answer.status_code == 422
    where = sorted(fault["where"] for fault in answer.json["faults"])
    assert where == ["?archived", "?colour", "?limit", "?offset"]
    assert office.get("/customers?sort=email").status_code == 422
    assert office.get("/customers?limit=1&limit=2").status_code == 422


def test_a_customer_with_a_job_stays(office: Office) -> None:
    customer = office.made("/customers", {"name": "A"})["id"]
    office.made("/jobs", {"name": "House", "customer_id": customer, "description": JOB})

    answer = office.delete(f"/customers/{customer}")

    assert answer.status_code == 409
    assert "archive" in answer.json["detail"]
    alone = office.made("/customers", {"name": "B"})["id"]
    assert office.delete(f"/customers/{alone}").status_code == 204
    assert office.get(f"/customers/{alone}").status_code == 404
