"""Random whole jobs, from description to documents: what must hold of every one of them.

``ESTIMATOR_RANDOM_JOBS=5000`` tries as many; ``ESTIMATOR_RANDOM_FROM`` starts elsewhere.
"""

import csv
import io
import json
import os
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from conftest import SAMPLE_DAY, SAMPLES
from jsonschema import Draft202012Validator
from openpyxl import load_workbook
from pypdf import PdfReader
from random_jobs import random_job
from statements import broken_statements

from estimator import usecases
from estimator.credits.records import CreditTotal
from estimator.documents.lists_csv import LISTS, list_csv
from estimator.documents.pdf import write_pdf
from estimator.documents.records import FullEstimate
from estimator.documents.result_json import result_document
from estimator.documents.workbook import write_workbook
from estimator.usecases import Catalogue
from estimator.web.app import create_app

JOBS = int(os.environ.get("ESTIMATOR_RANDOM_JOBS", "60"))
FIRST = int(os.environ.get("ESTIMATOR_RANDOM_FROM", "0"))
SEEDS = range(FIRST, FIRST + JOBS)
SHAPED_EVERY = 5  # the schema library takes longer over a result than we take to compute it
PAPER_EVERY = 20
# Sign and code of the sample's currencies as the papers write them.
SIGNS = {"USD": "$", "CAD": "CA$"}
PROGRAMMES = [(path.name, path.read_bytes()) for path in sorted(SAMPLES.glob("programmes/*.toml"))]


@pytest.fixture(scope="module")
def shape() -> Draft202012Validator:
    """The published schema of a result, letting in no field that it does not name."""
    spec = create_app().test_client().get("/api/openapi.json").get_json()
    components = json.loads(json.dumps(spec["components"]))
    for schema in components["schemas"].values():
        if "properties" in schema:
            schema["additionalProperties"] = False
    return Draft202012Validator({"$ref": "#/components/schemas/Result", "components": components})


def estimate_of(seed: int, catalogue: Catalogue) -> FullEstimate:
    """Every third job with programmes of one's own and the table of years."""
    own: dict[str, Any] = {"programmes": PROGRAMMES, "by_year": True} if seed % 3 == 0 else {}
    return usecases.estimate_job(random_job(seed), catalogue, today=SAMPLE_DAY, **own)


def test_every_random_job_keeps_what_must_hold(
    catalogue: Catalogue, shape: Draft202012Validator
) -> None:
    wrong: list[str] = []
    errors = 0
    for seed in SEEDS:
        estimate = estimate_of(seed, catalogue)
        wrong += [f"job {seed}: {text}" for text in broken_statements(estimate)]
        errors += any(found.severity == "error" for found in estimate.findings)
        text = json.dumps(result_document(estimate))
        if seed % SHAPED_EVERY == 0:
            faults = shape.iter_errors(json.loads(text))
            wrong += [f"job {seed}: {fault.json_path} {fault.message}" for fault in faults]

    assert wrong == []
    # The jobs reach both what can be built and what cannot.
    assert 0 < errors < JOBS or JOBS < 20


@pytest.mark.parametrize("seed", SEEDS[::PAPER_EVERY])
def test_workbook_paper_and_lists_say_the_total_of_the_result(
    catalogue: Catalogue, seed: int
) -> None:
    estimate = estimate_of(seed, catalogue)
    total = result_document(estimate)["price"]["totals"]["total"]

    book = load_workbook(io.BytesIO(write_workbook(estimate)), data_only=True)
    sheet, _, cell = book.defined_names["grand_total"].attr_text.rpartition("!")
    pages = PdfReader(io.BytesIO(write_pdf("quote", estimate))).pages
    paper = " ".join(" ".join(page.extract_text() for page in pages).split())

    assert Decimal(str(book[sheet.strip("'")][cell].value)) == Decimal(total)
    assert f"Total {SIGNS[estimate.price.currency]}{Decimal(total):,.2f}" in paper
    for name in LISTS:
        rows = list(csv.reader(io.StringIO(list_csv(name, estimate))))
        assert len({len(row) for row in rows}) == 1


@pytest.mark.parametrize("seed", SEEDS[::PAPER_EVERY])
def test_the_same_job_gives_the_same_result(catalogue: Catalogue, seed: int) -> None:
    first = json.dumps(result_document(estimate_of(seed, catalogue)))
    again = json.dumps(result_document(estimate_of(seed, catalogue)))

    assert first == again


def test_telling_what_was_assumed_of_the_site_changes_nothing(catalogue: Catalogue) -> None:
    for seed in SEEDS[:10]:
        document = random_job(seed)
        before = usecases.estimate_job(document, catalogue, today=SAMPLE_DAY)
        site = before.job.site
        told = {**document, "cord_length_ft": str(before.job.cord_length_ft)}
        told["site"] = {
            **document.get("site", {}),
            "region": site.region,
            "code_edition": site.code_edition,
            "outdoor_ambient_c": str(site.outdoor_ambient_c),
            "indoor_ambient_c": str(site.indoor_ambient_c),
        }

        after = usecases.estimate_job(told, catalogue, today=SAMPLE_DAY)

        assert after.take_off == before.take_off
        assert after.price.total == before.price.total
        assert len(after.assumptions) <= len(before.assumptions)


def test_the_statements_see_what_is_wrong(catalogue: Catalogue) -> None:
    """Each of a few falsified estimates breaks a statement, so the statements can fail."""
    sound = estimate_of(FIRST + 1, catalogue)
    price, taken, design = sound.price, sound.take_off, sound.design
    part, run, task = taken.parts[0], design.runs[0], taken.labour[0]
    false = [
        replace(sound, price=replace(price, total=price.total + Decimal("0.01"))),
        replace(sound, price=replace(price, unpriced=price.unpriced + 1)),
        replace(sound, take_off=replace(taken, parts=taken.parts[1:])),
        replace(
            sound, take_off=replace(taken, parts=(replace(part, quantity=Decimal(0)), *taken.parts))
        ),
        replace(
            sound,
            take_off=replace(taken, labour=(replace(task, hours_low=task.hours_high + 1),)),
        ),
        replace(
            sound,
            design=replace(design, runs=(replace(run, segments_ft=()), *design.runs[1:])),
        ),
        replace(sound, credit_total=CreditTotal(Decimal(2), Decimal(1), Decimal(3))),
        replace(sound, findings=sound.findings[::-1]),
    ]

    assert broken_statements(sound) == []
    assert all(broken_statements(estimate) for estimate in false)
