"""A job that tells everything: all of it is accepted and none of it is lost."""

from collections.abc import Iterator, Mapping
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from job_documents import leaf_paths

from estimator.job.describe import describe_job
from estimator.job.read import read_job_document
from estimator.job.schema import JobSchema, check_job

CASE = Path(__file__).parent / "cases" / "job_full.yaml"
TODAY = date(2026, 3, 2)
OTHER_WAYS = {"/labour/hourly_rate", "/terms/margin_percent"}


def full_document() -> Any:
    return read_job_document(CASE.read_bytes(), CASE.name)


def leaves(value: object, where: str = "") -> Iterator[tuple[str, object]]:
    """Values with the path to them, * for any index."""
    if isinstance(value, Mapping):
        for name, member in value.items():
            yield from leaves(member, f"{where}/{name}")
    elif isinstance(value, list):
        for member in value:
            yield from leaves(member, f"{where}/*")
    else:
        yield where, value


def told_paths(document: object) -> set[str]:
    return {
        path.replace("/bends_deg/*", "/bends_deg").removesuffix("/*")
        for path, _ in leaves(document)
    }


def test_the_case_tells_every_field() -> None:
    stock_attributes = {"/stock/*/raceway", "/stock/*/trade_size"}

    told = told_paths(full_document()) - stock_attributes

    assert told == leaf_paths(JobSchema()) - OTHER_WAYS


def test_nothing_is_assumed_of_a_job_that_tells_everything() -> None:
    description = describe_job(full_document(), TODAY)

    assert [item.field for item in description.assumptions] == []


def test_every_value_arrives_in_the_records() -> None:
    document = full_document()

    job = describe_job(document, TODAY).job

    for path, value in records_of(document):
        assert at(job, path) == value, path
    assert job.inlet.configuration == "14-50"
    assert job.stock[0].attributes == (("raceway", "EMT"), ("trade_size", "3/4"))
    assert job.runs[0].bends_deg == (Decimal(45), Decimal(30))
    assert job.runs[1].bends_deg == (Decimal(270),)


def test_the_values_of_the_case_differ_from_the_defaults() -> None:
    """Else a lost value could pass for a kept one."""
    least = {
        "circuits": [{"name": "A", "breaker_a": 20}],
        "mounting_surface": "brick",
        "run_length_ft": 1,
        "inlet": "L14-30",
    }
    default = describe_job(least, TODAY).job

    same = [
        path
        for path, value in records_of(full_document())
        if path.startswith(("/site/", "/supply/", "/transfer/", "/load_centre/", "/labour/"))
        and at(default, path) == value
    ]

    assert same == ["/supply/portable"]


def test_the_other_ways_to_say_rate_and_profit_arrive_too() -> None:
    document = full_document()
    document["labour"]["hourly_rate"] = document["labour"].pop("wage")
    document["terms"]["margin_percent"] = document["terms"].pop("markup_percent")

    job = describe_job(document, TODAY).job

    assert (job.labour.hourly_rate, job.labour.wage) == (Decimal("36.40"), None)
    assert (job.terms.margin_percent, job.terms.markup_percent) == (Decimal(22), None)


def test_checking_gives_the_same_twice() -> None:
    document = full_document()

    assert check_job(document) == check_job(document)
    assert document == full_document()


def records_of(document: Any) -> Iterator[tuple[str, object]]:
    """Path and typed value of each told field whose record has the same name."""
    told = check_job(document)
    for path, value in typed_leaves(told, ""):
        if "bends_deg" not in path and not path.startswith("/stock/0/raceway"):
            yield path, value


def typed_leaves(value: object, where: str) -> Iterator[tuple[str, object]]:
    if isinstance(value, Mapping):
        for name, member in value.items():
            yield from typed_leaves(member, f"{where}/{name}")
    elif isinstance(value, list):
        for index, member in enumerate(value):
            yield from typed_leaves(member, f"{where}/{index}")
    elif where not in ("/mounting_surface", "/run_length_ft", "/stock/0/trade_size"):
        yield where, value


def at(record: Any, path: str) -> object:
    for step in path.strip("/").split("/"):
        if isinstance(record, tuple):
            record = record[int(step)]
        else:
            record = getattr(record, "from_" if step == "from" else step)
    return record
