"""A quote on the pages: kept, priced, sent, read and accepted by the customer."""

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path
from urllib.parse import parse_qsl

import pytest
from conftest import sample_jobs
from flask.testing import FlaskClient
from werkzeug.datastructures import MultiDict

from estimator.config import Config
from estimator.job.describe import describe_job
from estimator.job.read import read_job_document
from estimator.web.app import create_app
from estimator.web.app_database import close_database
from estimator.web.pages.forms import document_of, today
from estimator.web.pages.job_form import read_form
from estimator.web.pages.kept_form import form_of
from estimator.web.pages.quote_terms import other_percent, term_fields, with_terms

DAY = date(2025, 10, 1)
YEAR = today().year
FACTS = {
    "circuit": "Fridge", "breaker": "20", "poles": "1", "running": "150", "starting": "900",
    "wall": "brick", "run": "18 ft", "inlet": "L14-30",
}  # fmt: skip
STATED = ["unpriced_part", "error_finding"]


@pytest.fixture
def client(tmp_path: Path) -> Iterator[FlaskClient]:
    settings = replace(Config(), database_url=f"sqlite:///{tmp_path}/kept.sqlite")
    app = create_app(settings)
    yield app.test_client()
    close_database(app)


def kept(client: FlaskClient, **more: str) -> str:
    answer = client.post("/quotes", data={**FACTS, "customer": "Lakeside Lane (invented)", **more})
    assert answer.status_code == 303, answer.text
    return answer.headers["Location"]


def offered(client: FlaskClient, address: str) -> str:
    answer = client.post(f"{address}/step", data={"step": "send", "stated": STATED})
    assert answer.status_code == 303
    made = client.post(f"{address}/links")
    assert (made.status_code, made.headers["Location"]) == (303, address)
    page = client.get(address).text
    (link,) = re.findall(r'readonly value="http://localhost([^"]+)"', page)
    return str(link)


def state(client: FlaskClient, address: str) -> str:
    (found,) = re.findall(r"State</span> <strong>(\w+)", client.get(address).text)
    return str(found)


@pytest.mark.parametrize("path", sample_jobs(), ids=lambda path: path.name)
def test_a_kept_job_goes_back_into_the_form_whole(path: Path) -> None:
    document = read_job_document(path.read_bytes(), path.name)

    form = form_of(document, DAY)

    assert form is not None
    again = read_form(MultiDict(parse_qsl(form.query, keep_blank_values=True)))
    assert describe_job(document_of(again, DAY), DAY).job == describe_job(document, DAY).job


def test_a_job_with_more_than_the_page_has_fields_for_is_not_shown_by_halves() -> None:
    document = {
        "circuits": [{"name": "A", "breaker_a": 20, "running_w": 100}],
        "mounting_surface": "brick",
        "run_length_ft": 10,
        "inlet": {"configuration": "L14-30"},
        "stock": [
            {"kind": "conduit", "quantity": 1, "unit": "ft", "attributes": {"trade_size": "1/2"}}
        ],
    }

    assert form_of(document, DAY) is None


def test_a_finished_form_becomes_a_numbered_quote_of_a_customer(client: FlaskClient) -> None:
    page = client.get(kept(client)).text

    assert f"Quote {YEAR}-0001" in page
    assert "Lakeside Lane (invented)" in page
    assert "part" in page and "without a price" in page
    assert f"{YEAR}-0001" in client.get("/quotes").text


def test_an_unfinished_form_is_not_kept_and_nothing_typed_is_lost(client: FlaskClient) -> None:
    answer = client.post("/quotes", data={**FACTS, "run": "very far"})

    assert answer.status_code == 422
    assert 'value="very far"' in answer.text
    assert "No quote is kept yet" in client.get("/quotes").text


def test_of_two_tabs_that_change_one_job_the_second_is_told_and_loses_nothing(
    client: FlaskClient,
) -> None:
    address = kept(client)
    (query,) = re.findall(r'href="/\?([^"]+)">Change the job', client.get(address).text)
    typed = dict(parse_qsl(query.replace("&amp;", "&"), keep_blank_values=True))

    first = client.post("/quotes", data={**typed, "run": "30 ft"})
    second = client.post("/quotes", data={**typed, "run": "44 ft"})

    assert first.status_code == 303
    assert second.status_code == 409
    assert "Somebody changed this quote" in second.text
    assert 'value="44 ft"' in second.text
    assert "Revision</span> <strong>2<" in client.get(address).text


def test_terms_follow_what_is_typed_and_are_kept_only_with_the_button(client: FlaskClient) -> None:
    address = kept(client)
    before = client.get(address).text

    shown = client.post(f"{address}/preview", data={"/labour/hourly_rate": "200"}).text
    assert client.get(address).text == before
    client.post(f"{address}/terms", data={"/labour/hourly_rate": "200"})

    (total,) = re.findall(r"<strong>([\d,.]+) USD</strong></dd>", shown)
    assert f"{total} USD" in client.get(address).text
    changes = client.get(f"{address}/changes").text
    assert "labour" in changes and "total" in changes


def test_a_fault_in_the_terms_is_told_and_what_was_typed_stays(client: FlaskClient) -> None:
    address = kept(client)

    answer = client.post(f"{address}/terms", data={"/terms/sales_tax_percent": "many"})

    assert answer.status_code == 422
    assert "/terms/sales_tax_percent" in answer.text
    assert 'value="many"' in answer.text


def test_of_markup_and_margin_the_one_that_was_changed_counts() -> None:
    """A markup of 25 % on cost is a margin of 20 % of the price (25 / 125)."""
    job = {"terms": {"markup_percent": 25}}
    result = {"estimate": {"assumptions": []}}

    assert with_terms(job, {"/terms/markup_percent": "25", "/terms/margin_percent": "30"}) == {
        "terms": {"margin_percent": 30}
    }
    assert other_percent(term_fields(job, result)) == "A markup of 25 % is a margin of 20.0 %."


def test_it_is_not_sent_while_something_is_wanting_that_it_does_not_state(
    client: FlaskClient,
) -> None:
    address = kept(client)

    refused = client.post(f"{address}/step", data={"step": "send"})

    assert refused.status_code == 409
    assert "has no price" in refused.text
    assert state(client, address) == "draft"
    client.post(f"{address}/step", data={"step": "send", "stated": STATED})
    assert state(client, address) == "sent"


def test_the_customer_reads_and_accepts_by_the_link(client: FlaskClient) -> None:
    address = kept(client)
    link = offered(client, address)

    page = client.get(link).text
    assert "Your answer" in page and "Fridge" in page
    assert "margin" not in page.lower() and "markup" not in page.lower()
    assert client.get(f"{link}/quote.pdf").data.startswith(b"%PDF")
    (revision,) = re.findall(r'name="revision" value="(\d+)"', page)
    nameless = client.post(link, data={"answer": "accepted", "revision": revision})
    assert nameless.status_code == 422
    client.post(link, data={"answer": "accepted", "revision": revision, "name": "Pat (invented)"})

    assert state(client, address) == "accepted"
    assert "Pat (invented)" in client.get(address).text
    assert "This quote was accepted" in client.get(link).text


def test_a_revision_that_the_customer_did_not_see_cannot_be_accepted(client: FlaskClient) -> None:
    address = kept(client)
    link = offered(client, address)

    answer = client.post(link, data={"answer": "accepted", "revision": "1", "name": "Pat"})

    assert answer.status_code == 409
    assert state(client, address) == "sent"


def test_a_revoked_or_forged_link_shows_nothing(client: FlaskClient) -> None:
    address = kept(client)
    link = offered(client, address)
    (revoke,) = re.findall(r'action="([^"]+/revoke)"', client.get(address).text)

    client.post(revoke)

    assert client.get(link).status_code == 404
    assert client.get("/offer/q_" + "A" * 43).status_code == 404
    assert client.post(link, data={"answer": "declined"}).status_code == 404


def test_an_old_revision_gives_the_paper_of_its_own_figures(client: FlaskClient) -> None:
    address = kept(client)
    client.post(f"{address}/terms", data={"/labour/hourly_rate": "200"})

    for number in (1, 2):
        assert client.get(f"{address}/{number}/papers/quote.pdf").data.startswith(b"%PDF")
    workbook = client.get(f"{address}/1/papers/estimate.xlsx")
    assert workbook.data.startswith(b"PK")
    assert client.get(f"{address}/1/papers/secret.pdf").status_code == 404


def test_a_duplicate_is_a_quote_of_its_own(client: FlaskClient) -> None:
    address = kept(client)

    copied = client.post(f"{address}/step", data={"step": "duplicate"}).headers["Location"]

    assert copied != address
    assert f"{YEAR}-0002" in client.get(copied).text
