"""What two revisions differ in: lines, money, reasons."""

import json
from copy import deepcopy
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

from quote_snapshots import BASIS, CATALOGUE, JOB, RESULT, snapshot

from estimator.quotes.basis import basis_document, read_basis, table_versions
from estimator.quotes.difference import RevisionDifference, revision_difference
from estimator.quotes.records import Snapshot


def difference(one: Snapshot, two: Snapshot) -> RevisionDifference:
    return revision_difference(json.loads(one.text), json.loads(two.text))


def changed(**edits: Any) -> dict[str, Any]:
    made = deepcopy(RESULT)
    made["estimate"] |= edits
    return made


def test_a_revision_against_itself_differs_in_nothing() -> None:
    found = difference(snapshot(), snapshot())

    assert found.empty
    assert found.reasons == ()


def test_a_dearer_item_shows_in_line_money_and_reason() -> None:
    made = deepcopy(RESULT)
    made["price"]["lines"][0] |= {"unit_price": "61.0000", "amount": "61.00"}
    made["price"]["totals"] |= {"materials": "72.89", "sales_tax": "4.37", "total": "152.26"}
    newer = replace(CATALOGUE, version=4, digest="d" * 64)

    found = difference(snapshot(), snapshot(made, basis=replace(BASIS, catalogues=(newer,))))

    (line,) = found.lines
    assert (line.subject, line.what, line.change) == ("part", "L14-30 power inlet box", "changed")
    assert line.fields == (("unit_price", "58.4000", "61.0000"), ("amount", "58.40", "61.00"))
    assert {each.name: each.amount for each in found.money} == {
        "materials": Decimal("2.60"),
        "sales_tax": Decimal("0.15"),
        "total": Decimal("2.75"),
    }
    assert [each.text for each in found.reasons] == [
        "Catalogue 'North Counter' is version 4, before 3."
    ]


def test_parts_that_come_and_go_are_named() -> None:
    made = deepcopy(RESULT)
    part = made["estimate"]["parts"][1]
    part["attributes"]["colour"], part["description"] = "red", "10 AWG conductor, red"

    found = difference(snapshot(), snapshot(made))

    assert [(each.change, each.what) for each in found.lines] == [
        ("added", "10 AWG conductor, red"),
        ("removed", "10 AWG conductor, black"),
    ]
    assert ("quantity", None, "29") in found.lines[0].fields
    assert ("amount", "11.89", None) in found.lines[1].fields


def test_a_part_bought_in_two_packs_is_one_line_with_the_sum() -> None:
    made = deepcopy(RESULT)
    second = made["price"]["lines"][1] | {"item": "NC-0060", "amount": "100.11"}
    made["price"]["lines"].append(second)

    (line,) = difference(snapshot(), snapshot(made)).lines

    assert line.fields == (
        ("item", "NC-0059", "NC-0059, NC-0060"),
        ("amount", "11.89", "112.00"),
    )


def test_hours_and_findings_are_compared_too() -> None:
    task = RESULT["estimate"]["labour"][0]
    finding = {"severity": "error", "code": "E", "message": "Too small.", "where": "/supply"}
    made = changed(labour=[task | {"hours": "1.25"}, task], findings=[finding])

    found = difference(snapshot(), snapshot(made))

    assert [(each.subject, each.change) for each in found.lines] == [
        ("labour", "changed"),
        ("labour", "added"),
        ("finding", "added"),
    ]
    assert found.lines[0].fields == (("hours", "0.75", "1.25"),)


def test_money_in_another_currency_is_not_held_against_the_first() -> None:
    made = deepcopy(RESULT)
    made["price"]["currency"] = "CAD"

    found = difference(snapshot(), snapshot(made))

    assert found.currency_changed
    assert found.money == ()
    assert not found.empty


def test_each_changed_field_of_the_job_is_a_reason() -> None:
    job = {
        "circuits": [{"name": "Well pump", "breaker_a": 30}, {"name": "Freezer"}],
        "inlet": "L14-30",
    }

    found = difference(snapshot(), snapshot(job=job))

    assert [each.text for each in found.reasons] == [
        "circuit 1: rating of its breaker is 30, before 20.",
        "circuit 2 is new: Freezer.",
        "inlet is now given: L14-30.",
        "the length from inlet to transfer equipment along the raceway is no longer given; "
        "it was 18.",
    ]


def test_tables_program_day_and_validity_are_reasons() -> None:
    made = deepcopy(RESULT) | {"computed_on": "2026-05-01"}
    basis = replace(BASIS, program="0.2.0", tables=(("sizing", "e" * 64), ("takeoff", "c" * 64)))

    found = difference(snapshot(), snapshot(made, basis=basis, valid_until=date(2026, 6, 1)))

    assert [each.cause for each in found.reasons] == ["tables", "program", "day", "validity"]
    assert "renewed: sizing." in found.reasons[0].text


def test_catalogues_and_own_tables_that_are_used_or_no_longer_are_reasons() -> None:
    labour = replace(CATALOGUE, name="Our hours", version=2)
    basis = replace(BASIS, catalogues=(), labour_table=labour, programmes=(labour,))

    found = difference(snapshot(), snapshot(basis=basis))

    assert [each.text for each in found.reasons] == [
        "Catalogue 'North Counter' is no longer used.",
        "Labour table 'Our hours', version 2, is used now.",
        "Programme 'Our hours', version 2, is used now.",
    ]


def test_a_basis_is_read_back_as_it_was_written() -> None:
    full = replace(BASIS, labour_table=CATALOGUE, rate_sheet=CATALOGUE, job=CATALOGUE)

    for each in (BASIS, full):
        assert read_basis(json.loads(json.dumps(basis_document(each)))) == each


def test_the_tables_of_every_room_have_a_digest_of_their_own() -> None:
    versions = dict(table_versions())

    assert {"sizing", "takeoff", "catalogue", "credits"} <= set(versions)
    assert len(set(versions.values())) == len(versions)
    assert json.loads(snapshot(job=JOB).text)["basis"]["tables"] == dict(BASIS.tables)
