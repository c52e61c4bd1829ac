"""Jobs: versions that are never lost, templates, estimates from what the office keeps."""

from typing import Any

import pytest
from web.api.furnished import JOB, LABOUR, NORTH, RATES, furnish, send_list
from web.api.office import Office

from estimator import usecases
from estimator.documents.result_json import result_document


@pytest.fixture
def job(office: Office) -> str:
    """The address of a job."""
    made = office.made("/jobs", {"name": "House", "description": JOB})
    return f"/jobs/{made['id']}"


def save(office: Office, job: str, tag: str = "*", **fields: Any) -> Any:
    return office.put(f"{job}/description", {"description": {**JOB, **fields}}, tag=tag)


def estimate(office: Office, job: str, number: int = 1, **means: Any) -> Any:
    answer = office.post(f"{job}/versions/{number}/estimate", means)
    assert answer.status_code == 200, answer.text
    return answer.json


def test_every_save_is_a_version(office: Office, job: str) -> None:
    save(office, job, run_length_ft=20)
    last = save(office, job, run_length_ft=22.5).json

    assert last["newest"] == 3
    lengths = [
        office.shown(f"{job}/versions/{number}")["description"]["run_length_ft"]
        for number in (1, 2, 3)
    ]
    assert lengths == [18, 20, "22.5"]
    listed = office.shown(f"{job}/versions")["rows"]
    assert [row["number"] for row in listed] == [3, 2, 1]


def test_the_same_description_again_changes_nothing(office: Office, job: str) -> None:
    before = office.get(job)
    same = {name: JOB[name] for name in sorted(JOB)}
    first = save(office, job, run_length_ft=20)

    again = office.put(f"{job}/description", {"description": {**same, "run_length_ft": 20}})

    assert before.headers["ETag"] != first.headers["ETag"] == again.headers["ETag"]
    assert again.json["newest"] == 2


def test_of_two_writers_of_a_job_the_second_is_refused(office: Office, job: str) -> None:
    tag = office.get(job).headers["ETag"]

    assert save(office, job, tag, run_length_ft=20).status_code == 200
    assert save(office, job, tag, run_length_ft=30).status_code == 412
    assert office.shown(job)["newest"] == 2


def test_a_bad_description_is_refused_with_every_fault_and_not_kept(
    office: Office, job: str
) -> None:
    bad = {**JOB, "inlet": "L99", "run_length_ft": -1, "circuits": [{"nmae": "x"}]}

    answers = [
        office.post("/jobs", {"name": "Bad", "description": bad}),
        office.put(f"{job}/description", {"description": bad}),
    ]

    for answer in answers:
        assert answer.status_code == 422
        where = {fault["where"] for fault in answer.json["faults"]}
        assert {"/description/inlet", "/description/run_length_ft"} <= where
        assert "/description/circuits/0/nmae" in where
    assert office.shown("/jobs")["total"] == 1
    assert office.shown(job)["newest"] == 1


def test_an_estimate_is_that_of_the_same_files(office: Office, job: str) -> None:
    catalogue = office.made("/catalogues", {"name": "Counter"})["id"]
    send_list(office, catalogue, NORTH, "north_counter.csv")

    found = estimate(office, job, on="2026-03-02")

    day = office.scope.at.date()
    described = {"name": "House", **JOB}
    whole = usecases.estimate_document(described, [("north_counter.csv", NORTH)], today=day)
    expected = result_document(whole)
    assert found["price"]["totals"] == expected["price"]["totals"]
    assert found["price"]["lines"] == expected["price"]["lines"]
    # Needs the neighbours of an item in the whole list, which an estimate does not load.
    findings = [
        each for each in expected["estimate"]["findings"] if each["code"] != "PRICE_OUT_OF_LINE"
    ]
    assert found["estimate"] == {**expected["estimate"], "findings": findings}
    assert found["credits"] == expected["credits"]
    assert found["job_name"] == "House"
    assert float(found["price"]["totals"]["materials"]) > 0


def test_without_a_price_list_nothing_is_priced(office: Office, job: str) -> None:
    found = estimate(office, job)

    assert found["price"]["complete"] is False
    assert found["price"]["unpriced"] == len(found["price"]["lines"])


def test_prices_come_from_the_versions_in_force_or_from_those_asked_for(office: Office) -> None:
    ids = furnish(office)
    job = f"/jobs/{ids['job_id']}"
    old = estimate(office, job)["price"]["totals"]["total"]
    dearer = NORTH.replace(b",0.41,", b",9.41,")
    newer = send_list(office, ids["catalogue_id"], dearer).json["number"]

    assert estimate(office, job)["price"]["totals"]["total"] > old
    named = {"catalogue_versions": [ids["catalogue_versions"]]}
    assert estimate(office, job, **named)["price"]["totals"]["total"] == old
    assert estimate(office, job, catalogue_versions=[])["price"]["complete"] is False
    office.post(f"/catalogues/{ids['catalogue_id']}/versions/1/in-force")
    assert newer == 2
    assert estimate(office, job)["price"]["totals"]["total"] == old


def test_own_rates_and_hours_count_under_what_the_job_says(office: Office, job: str) -> None:
    catalogue = office.made("/catalogues", {"name": "Counter"})["id"]
    send_list(office, catalogue, NORTH)
    rates = office.made("/own-documents/rate-sheets", {"name": "Ours", "content": RATES})["id"]
    hours = office.made("/own-documents/labour-tables", {"name": "Ours", "content": LABOUR})["id"]
    plain = estimate(office, job)

    own = estimate(office, job, rate_sheet=rates, labour_table=hours)

    assert plain["price"]["totals"]["profit"] == "0.00"
    assert own["price"]["totals"]["profit"] != "0.00"
    assert own["price"]["labour_rate"] == "80.0000"
    survey = next(row for row in own["estimate"]["labour"] if row["code"] == "site_survey")
    assert survey["hours"] == "2"
    save(office, job, terms={"margin_percent": 10}, labour={"hourly_rate": "50.00"})
    told = estimate(office, job, 2, rate_sheet=rates)
    assert (told["price"]["labour_rate"], told["price"]["profit_kind"]) == ("50.0000", "margin")


def test_a_template_makes_jobs(office: Office, job: str) -> None:
    template = office.made(f"{job}/copies", {"name": "Usual house", "template": True})

    made = office.made(f"/jobs/{template['id']}/copies", {"name": "Next house"})

    assert made["template"] is False
    kept = office.shown(f"/jobs/{made['id']}/versions/1")
    assert kept["description"] == JOB
    assert [row["name"] for row in office.shown("/jobs?template=true")["rows"]] == ["Usual house"]
    assert office.shown("/jobs?template=false")["total"] == 2


def test_jobs_are_found_by_customer(office: Office, job: str) -> None:
    customer = office.made("/customers", {"name": "A"})["id"]
    office.put(job, {"name": "Renamed", "customer_id": customer})

    assert office.shown(f"/jobs?customer_id={customer}")["rows"][0]["name"] == "Renamed"
    assert office.get("/jobs?customer_id=018f0000-0000-7000-8000-000000000001").status_code == 404


def test_a_job_with_quotes_stays(office: Office) -> None:
    ids = furnish(office)

    assert office.delete(f"/jobs/{ids['job_id']}").status_code == 409
    office.put(f"/jobs/{ids['job_id']}", {"name": "House", "archived": True})
    assert office.shown("/jobs")["total"] == 0
    assert office.shown("/jobs?archived=true")["total"] == 1


def test_a_fact_that_no_programme_asks_is_told_by_its_place(office: Office, job: str) -> None:
    answer = office.post(f"{job}/versions/1/estimate", {"programme_facts": {"no_such": "yes"}})

    assert answer.status_code == 422
    assert answer.json["faults"][0]["where"] == "/programme_facts/no_such"
