"""Labour tables, rate sheets and programmes: checked when they are sent, kept by version."""

import pytest
from web.api.furnished import JOB, LABOUR, PROGRAMME, RATES
from web.api.office import Office

GOOD = {"labour-tables": LABOUR, "rate-sheets": RATES, "programmes": PROGRAMME}


@pytest.mark.parametrize("kind", GOOD)
def test_a_document_is_kept_version_by_version(office: Office, kind: str) -> None:
    made = office.made(f"/own-documents/{kind}", {"name": "Ours", "content": GOOD[kind]})
    address = f"/own-documents/{kind}/{made['id']}"
    same = office.put(f"{address}/content", {"content": GOOD[kind]})
    newer = office.put(f"{address}/content", {"content": GOOD[kind] + "\n"})

    assert (same.json["newest"], newer.json["newest"]) == (1, 2)
    assert office.shown(f"{address}/versions/1")["content"] == GOOD[kind]
    assert office.shown(f"{address}/versions")["total"] == 2
    assert office.shown(f"/own-documents/{kind}")["rows"][0]["name"] == "Ours"


@pytest.mark.parametrize(
    ("kind", "content"),
    [
        ("labour-tables", "code,hours\nx,1\n"),
        ("labour-tables", LABOUR + "no_such_task,x,job,1,2,3\n"),
        ("rate-sheets", "{"),
        ("rate-sheets", "[]"),
        ("rate-sheets", "{}"),
        ("rate-sheets", '{"circuits": []}'),
        ("rate-sheets", '{"terms": {"markup_percnt": 3}}'),
        ("rate-sheets", '{"terms": {"markup_percent": 3, "margin_percent": 4}}'),
        ("programmes", "x = "),
        ("programmes", 'programme = "One"'),
    ],
)
def test_a_document_that_cannot_be_used_is_refused(office: Office, kind: str, content: str) -> None:
    answer = office.post(f"/own-documents/{kind}", {"name": "Ours", "content": content})

    assert answer.status_code == 422
    assert all(fault["where"].startswith("/content") for fault in answer.json["faults"])
    assert office.shown(f"/own-documents/{kind}")["total"] == 0


def test_a_document_of_one_kind_is_none_of_another(office: Office) -> None:
    made = office.made("/own-documents/rate-sheets", {"name": "Ours", "content": RATES})

    assert office.get(f"/own-documents/labour-tables/{made['id']}").status_code == 404
    job = office.made("/jobs", {"name": "House", "description": JOB})["id"]
    asked = {"labour_table": made["id"]}
    assert office.post(f"/jobs/{job}/versions/1/estimate", asked).status_code == 404


def test_an_own_programme_is_assessed(office: Office) -> None:
    made = office.made("/own-documents/programmes", {"name": "One", "content": PROGRAMME})
    job = office.made("/jobs", {"name": "House", "description": JOB})["id"]

    found = office.post(f"/jobs/{job}/versions/1/estimate", {"programmes": [made["id"]]})

    assert found.status_code == 200
    assert "Utility battery rebate (invented)" in {
        credit["programme"] for credit in found.json["credits"]
    }


def test_a_document_is_renamed_and_put_aside(office: Office) -> None:
    made = office.made("/own-documents/rate-sheets", {"name": "Ours", "content": RATES})
    office.made("/own-documents/rate-sheets", {"name": "Other", "content": RATES})
    address = f"/own-documents/rate-sheets/{made['id']}"

    assert office.put(address, {"name": "OTHER"}).status_code == 409
    assert office.put(address, {"name": "Old"}, tag='"9"').status_code == 412
    assert office.put(address, {"name": "Old", "archived": True}).json["name"] == "Old"

    assert office.shown("/own-documents/rate-sheets")["total"] == 1
    assert office.shown("/own-documents/rate-sheets?archived=true")["total"] == 1
    assert office.shown(f"{address}/versions/1")["content"] == RATES
