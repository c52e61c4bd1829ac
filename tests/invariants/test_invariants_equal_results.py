"""One job gives one result, byte for byte, whichever door it comes through.

In the process, by the interface that stores nothing, and as a kept quote on SQLite and on
PostgreSQL, with the same price lists. ``ESTIMATOR_EQUAL_JOBS=1000`` tries as many.
"""

import io
import json
import os
import re
from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal
from typing import Any

import pytest
from conftest import SAMPLE_DAY, sample_lists
from openpyxl import load_workbook
from pypdf import PdfReader
from random_jobs import random_job
from store.databases import new_scope
from web.api.office import Office, open_app

from estimator import usecases
from estimator.documents.pdf import write_pdf
from estimator.documents.result_json import result_document
from estimator.documents.workbook import write_workbook
from estimator.store.database import Database
from estimator.store.scope import Scope
from estimator.usecases import Catalogue

JOBS = int(os.environ.get("ESTIMATOR_EQUAL_JOBS", "30"))
# Other jobs than those of the other statements.
FIRST = int(os.environ.get("ESTIMATOR_EQUAL_FROM", "700000"))
SEEDS = range(FIRST, FIRST + JOBS)
PAPER_EVERY = 3
# Told of whole lists; a kept quote loads only the items that its parts may use, so it counts
# those, and tells fewer prices that are out of line (store/catalogue_lookup.py says so).
OF_WHOLE_LISTS = {"ITEMS_IN_OTHER_CURRENCY", "PRICE_OUT_OF_LINE"}


@pytest.fixture(scope="module")
def office(database: Database) -> Office:
    """An office that keeps the sample price lists, one catalogue each, in order of the files."""
    made: Scope = new_scope(database)
    office = Office(open_app(database), replace(made, at=datetime.now(UTC)))
    for path in sample_lists():
        catalogue = office.made("/catalogues", {"name": path.stem})["id"]
        sent = office.post(
            f"/catalogues/{catalogue}/versions?file_name={path.name}",
            data=path.read_bytes(), content_type="text/csv",
        )  # fmt: skip
        assert sent.status_code == 201, sent.text
    return office


def job_of(seed: int) -> dict[str, Any]:
    """A random job with a name, which a kept one always has."""
    return {"name": f"Job {seed}", **random_job(seed)}


def text_of(result: Any) -> str:
    """A result as text, in which every figure and word counts and the order of fields does not."""
    return json.dumps(result, sort_keys=True)


def in_process(seed: int, catalogue: Catalogue) -> Any:
    return usecases.estimate_job(job_of(seed), catalogue, today=SAMPLE_DAY)


def without_storage(office: Office, seed: int) -> Any:
    lists = [{"name": path.name, "text": path.read_text("utf-8")} for path in sample_lists()]
    body = {"job": job_of(seed), "catalogue": lists, "on": SAMPLE_DAY.isoformat()}
    answer = office.post("/estimates", body)
    assert answer.status_code == 200, answer.text[:500]
    return answer.json


def kept(office: Office, seed: int) -> Any:
    """The result in the snapshot of a quote, as it was kept and read back."""
    job = job_of(seed)
    body = {"name": job["name"], "description": job}
    job = office.made("/jobs", body)["id"]
    quote = office.made("/quotes", {"job_id": job, "on": SAMPLE_DAY.isoformat()})["id"]
    return office.shown(f"/quotes/{quote}/revisions/1/snapshot")["result"]


def test_a_result_is_the_same_through_every_door(office: Office, catalogue: Catalogue) -> None:
    different = []
    for seed in SEEDS:
        result = json.loads(json.dumps(result_document(in_process(seed, catalogue))))
        for door, ours, theirs in (
            ("without storage", result, without_storage(office, seed)),
            ("kept", of_its_items(result), of_its_items(kept(office, seed))),
        ):
            if text_of(ours) != text_of(theirs):
                different.append((seed, door, first_difference(text_of(ours), text_of(theirs))))

    assert different == []


def test_a_kept_quote_tells_no_price_out_of_line_that_whole_lists_do_not(
    office: Office, catalogue: Catalogue
) -> None:
    def told(result: dict[str, Any]) -> str:
        found = result["estimate"]["findings"]
        return " ".join(one["message"] for one in found if one["code"] == "PRICE_OUT_OF_LINE")

    for seed in SEEDS:
        whole = told(result_document(in_process(seed, catalogue)))
        rows = re.findall(r"item (\S+) \(", told(kept(office, seed)))
        assert [row for row in rows if f"item {row} (" not in whole] == [], seed


def of_its_items(result: dict[str, Any]) -> dict[str, Any]:
    """A result without what is told of whole price lists."""
    estimate = result["estimate"]
    findings = [each for each in estimate["findings"] if each["code"] not in OF_WHOLE_LISTS]
    return {**result, "estimate": {**estimate, "findings": findings}}


def first_difference(one: str, two: str) -> tuple[str, str]:
    at = next((at for at, both in enumerate(zip(one, two, strict=False)) if both[0] != both[1]), 0)
    return one[max(at - 80, 0) : at + 60], two[max(at - 80, 0) : at + 60]


@pytest.mark.parametrize("seed", SEEDS[::PAPER_EVERY])
def test_workbook_and_paper_say_the_totals_of_the_result(catalogue: Catalogue, seed: int) -> None:
    estimate = in_process(seed, catalogue)
    price = result_document(estimate)["price"]
    totals = {name: Decimal(amount) for name, amount in price["totals"].items()}

    total, amounts = workbook_amounts(write_workbook(estimate))
    paper = paper_amounts(write_pdf("quote", estimate))

    assert total == totals["total"]
    assert {name for name, amount in totals.items() if amount and abs(amount) not in amounts} == (
        set()
    )
    assert paper["Total"] == totals["total"]
    # What the customer reads adds up to it.
    assert sum(amount for what, amount in paper.items() if what != "Total") == totals["total"]


def workbook_amounts(data: bytes) -> tuple[Decimal, set[Decimal]]:
    """The grand total, and every amount on its sheet without its sign."""
    book = load_workbook(io.BytesIO(data), data_only=True)
    sheet, _, cell = book.defined_names["grand_total"].attr_text.rpartition("!")
    page = book[sheet.strip("'")]
    numbers = [
        cell.value for row in page for cell in row if isinstance(cell.value, int | float | Decimal)
    ]
    total = Decimal(str(page[cell.replace("$", "")].value))
    return total, {abs(round(Decimal(str(number)), 2)) for number in numbers}


def paper_amounts(data: bytes) -> dict[str, Decimal]:
    """The lines of the table of prices, as somebody reads them on the paper."""
    pages = PdfReader(io.BytesIO(data)).pages
    text = " ".join(" ".join(page.extract_text() for page in pages).split())
    table = re.search(r"Price Amount (.*?Total (?:CA)?\$[0-9,.]*[0-9])", text)
    assert table is not None, text
    lines = re.findall(r"([A-Z][^$]*?) (-?|\u2212)(?:CA)?\$([0-9,]+\.[0-9]{2})", table[1])
    return {
        what: Decimal(amount.replace(",", "")) * (-1 if sign else 1) for what, sign, amount in lines
    }
