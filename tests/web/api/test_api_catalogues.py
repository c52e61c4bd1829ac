"""Suppliers, catalogues, their versions and items, and what people said items are."""

import io
from typing import Any

import pytest
from web.api.furnished import DEARER, NORTH, SAMPLES, WIRE, furnish, send_list
from web.api.office import Office

QUIRKY = SAMPLES / "price_lists_quirky"


@pytest.fixture
def catalogue(office: Office) -> str:
    """The identifier of a catalogue."""
    supplier = office.made("/suppliers", {"name": "Three Classes (invented)"})["id"]
    made = office.made("/catalogues", {"name": "Counter", "supplier_id": supplier})
    return str(made["id"])


def test_a_list_becomes_the_version_in_force(office: Office, catalogue: str) -> None:
    answer = send_list(office, catalogue, NORTH)

    assert answer.status_code == 201
    assert answer.json["number"] == 1
    assert answer.json["items"] == len(NORTH.splitlines()) - 1 == answer.json["rows_read"]
    assert answer.json["rejected"] == answer.json["unread"] == []
    assert answer.headers["Location"].endswith(f"/catalogues/{catalogue}/versions/1")
    newer = send_list(office, catalogue, DEARER)
    assert newer.json["number"] == 2
    rows = office.shown(f"/catalogues/{catalogue}/versions")["rows"]
    assert [(row["number"], row["superseded_at"] is None) for row in rows] == [
        (2, True),
        (1, False),
    ]


def test_the_same_file_twice_changes_nothing(office: Office, catalogue: str) -> None:
    first = send_list(office, catalogue, NORTH)
    again = send_list(office, catalogue, NORTH)

    assert (again.status_code, again.json["already"]) == (200, True)
    assert again.json["id"] == first.json["id"]
    assert office.shown(f"/catalogues/{catalogue}/versions")["total"] == 1


def test_every_row_that_is_no_item_is_told(office: Office, catalogue: str) -> None:
    head, row, *_ = NORTH.splitlines()
    place = head.split(b",").index(b"price")
    cells = row.split(b",")
    broken = b",".join([*cells[:place], b"free", *cells[place + 1 :]])
    answer = send_list(office, catalogue, b"\n".join([head, row, broken]))

    assert answer.status_code == 201
    assert (answer.json["items"], answer.json["rows_rejected"]) == (1, 1)
    assert answer.json["rejected"][0]["where"] == "row 3, column price"
    assert (
        office.shown(f"/catalogues/{catalogue}/versions/1")["rejected"] == (answer.json["rejected"])
    )


@pytest.mark.parametrize(
    ("data", "name", "kind", "status"),
    [
        (b"", "a.csv", "text/csv", 422),
        (b"\x00\x01\x02", "a.csv", "application/octet-stream", 422),
        (b"a,b\n1,2\n", "a.csv", "text/csv", 422),
        (b"PK\x03\x04broken", "a.xlsx", "application/octet-stream", 422),
        (NORTH, "", "text/csv", 422),
        (NORTH, "a.csv", "image/png", 415),
    ],
)
def test_a_file_that_cannot_be_read_leaves_nothing(
    office: Office, catalogue: str, data: bytes, name: str, kind: str, status: int
) -> None:
    path = f"/catalogues/{catalogue}/versions?file_name={name}"

    answer = office.post(path, data=data, content_type=kind)

    assert answer.status_code == status
    assert answer.mimetype == "application/problem+json"
    assert office.shown(f"/catalogues/{catalogue}/versions")["total"] == 0


def test_a_workbook_is_read(office: Office, catalogue: str) -> None:
    data = (QUIRKY / "lakeside_workbook.xlsx").read_bytes()
    media = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
    path = f"/catalogues/{catalogue}/versions?file_name=lakeside_workbook.xlsx"

    answer = office.post(path, data=data, content_type=media)

    assert answer.status_code == 201
    assert answer.json["items"] > 0


def form(data: bytes, name: str, mapping: str = "") -> dict[str, Any]:
    return {"data": {"file": (io.BytesIO(data), name), "mapping": mapping}}


def test_columns_are_told_once_and_remembered_for_the_supplier(
    office: Office, catalogue: str
) -> None:
    data = (QUIRKY / "three_classes.tsv").read_bytes()
    mapping = (QUIRKY / "three_classes.mapping.csv").read_text()
    path = f"/catalogues/{catalogue}/versions"
    refused = office.post(path, **form(data, "three_classes.tsv"))
    assert refused.status_code == 422

    told = office.post(path, **form(data, "three_classes.tsv", mapping))
    assert told.status_code == 201, told.text
    # The next list of the supplier with the same head needs no telling.
    rows = data.decode("utf-16").splitlines(keepends=True)
    without_last = "".join(row for row in rows if not row.startswith("TC-4")).encode()
    shorter = office.post(path, **form(without_last, "three_classes.tsv"))

    assert shorter.status_code == 201, shorter.text
    assert shorter.json["rows_read"] == told.json["rows_read"] - 1
    again = office.post(path, **form(data, "three_classes.tsv"))
    assert (again.status_code, again.json["id"]) == (200, told.json["id"])


def test_columns_are_shown_before_anything_is_kept(office: Office, catalogue: str) -> None:
    data = (QUIRKY / "no_head.csv").read_bytes()

    answer = office.post(f"/catalogues/{catalogue}/columns", **form(data, "no_head.csv"))

    assert answer.status_code == 200
    proposed = {line["proposed"] for line in answer.json["column_mapping"]}
    assert "price" in proposed
    assert office.shown(f"/catalogues/{catalogue}/versions")["total"] == 0


def test_two_versions_are_held_against_each_other(office: Office, catalogue: str) -> None:
    send_list(office, catalogue, NORTH)
    send_list(office, catalogue, DEARER)

    found = office.shown(f"/catalogues/{catalogue}/versions/2/difference")

    dearer = NORTH.count(b",0.41,")
    assert dearer > 0
    assert found["counts"]["price_up"] == dearer == len(found["changed_items"])
    assert {each["unit_price_before"] for each in found["changed_items"]} == {"0.4100"}
    assert {each["percent"] for each in found["changed_items"]} == {"9.8"}
    back = office.shown(f"/catalogues/{catalogue}/versions/1/difference?against=2")
    assert back["counts"]["price_down"] == dearer
    assert office.get(f"/catalogues/{catalogue}/versions/1/difference").status_code == 404


def test_prices_for_another_unit_than_the_list_says_are_told(
    office: Office, catalogue: str
) -> None:
    slip = (SAMPLES / "price_lists_other" / "one_slip_by_a_hundred.csv").read_bytes()
    send_list(office, catalogue, slip)

    found = office.shown(f"/catalogues/{catalogue}/versions/1/findings")["rows"]

    assert [each["code"] for each in found] == ["PRICE_OUT_OF_LINE"]
    assert "100 times" in found[0]["message"]


def test_items_are_found_by_words_and_number(office: Office, catalogue: str) -> None:
    send_list(office, catalogue, NORTH)

    black = office.shown("/items?search=10%20AWG%20black&limit=200")
    assert black["total"] >= 1
    for row in black["rows"]:
        assert "10 awg" in row["description"].lower()
        assert "black" in row["description"].lower()
    one = black["rows"][0]
    by_number = office.shown(f"/items?search={one['item_number']}")
    assert [row["item_number"] for row in by_number["rows"]] == [one["item_number"]]
    in_version = f"/catalogues/{catalogue}/versions/1/items"
    assert office.shown(f"{in_version}/{one['place']}") == one
    kinds = office.shown(f"{in_version}?kind=conductor&limit=200")["rows"]
    assert {row["kind"] for row in kinds} == {"conductor"}
    prices = [row["unit_price"] for row in kinds]
    up = office.shown(f"{in_version}?kind=conductor&limit=200&sort=unit_price")["rows"]
    assert [row["unit_price"] for row in up] == sorted(prices, key=float)


def test_items_of_superseded_and_archived_lists_are_not_found(
    office: Office, catalogue: str
) -> None:
    send_list(office, catalogue, NORTH)
    send_list(office, catalogue, DEARER)
    total = office.shown("/items")["total"]
    assert total == len(NORTH.splitlines()) - 1

    office.put(f"/catalogues/{catalogue}", {"name": "Counter", "archived": True})

    assert office.shown("/items")["total"] == 0


def test_what_a_person_said_of_an_item_counts_from_then_on(office: Office) -> None:
    supplier = office.made("/suppliers", {"name": "Plain (invented)"})["id"]
    catalogue = office.made("/catalogues", {"name": "Plain", "supplier_id": supplier})["id"]
    # A description that does not tell the insulation.
    data = b"item number,description,price,per\nP-1,#10 WIRE BLACK,41.00,CFT\n"
    said = {
        "supplier_id": supplier, "item_number": "P-1", "kind": "conductor", "attributes": WIRE,
    }  # fmt: skip
    refused = send_list(office, catalogue, data)
    assert refused.status_code == 422 or refused.json["items"] == 0

    office.put("/confirmed-matches", said)
    read = send_list(office, catalogue, data)

    assert read.status_code == 201, read.text
    item = office.shown("/items?search=P-1")["rows"][0]
    assert item["attributes"] == WIRE
    assert item["read_from"] == "confirmed"
    wrong = office.put("/confirmed-matches", {**said, "attributes": {"size": "10 AWG"}})
    assert wrong.status_code == 422
    one = f"/confirmed-matches?supplier_id={supplier}&item_number=P-1"
    assert office.delete(one).status_code == 204
    assert office.delete(one).status_code == 404


def test_terms_of_a_supplier_count_in_the_plan(office: Office) -> None:
    ids = furnish(office)
    terms = f"/suppliers/{ids['supplier_id']}/terms/USD"
    path = f"/jobs/{ids['job_id']}/versions/1/estimate"
    before = office.post(path, {}).json["price"]["totals"]["total"]

    assert office.put(terms, {"delivery_fee": "40.00"}, tag=None).status_code == 428
    changed = office.put(terms, {"delivery_fee": "40.00"}, tag='"1"')

    assert changed.json["delivery_fee"] == "40.00"
    after = office.post(path, {}).json["price"]["totals"]["total"]
    assert float(after) > float(before)
    assert office.delete(terms, tag='"1"').status_code == 412
    assert office.delete(terms).status_code == 204
    assert office.get(terms).status_code == 404
    assert office.put(terms, {}, tag='"1"').status_code == 412


def test_a_version_that_a_quote_rests_on_stays(office: Office) -> None:
    ids = furnish(office)
    versions = f"/catalogues/{ids['catalogue_id']}/versions"
    send_list(office, ids["catalogue_id"], DEARER)

    assert office.delete(f"{versions}/1").status_code == 409
    assert office.delete(f"{versions}/2").status_code == 204
    assert office.get(f"{versions}/2").status_code == 404
    assert office.delete(f"/catalogues/{ids['catalogue_id']}").status_code == 409
    assert office.delete(f"/suppliers/{ids['supplier_id']}").status_code == 409


def test_a_name_is_taken_once(office: Office) -> None:
    office.made("/suppliers", {"name": "North"})
    office.made("/catalogues", {"name": "Counter"})

    assert office.post("/suppliers", {"name": "NORTH"}).status_code == 409
    assert office.post("/catalogues", {"name": "counter"}).status_code == 409


def test_kinds_of_part_are_found_by_words(office: Office) -> None:
    every = office.shown("/part-kinds?limit=200")
    wire = office.shown("/part-kinds?search=conductor%20insulation")["rows"]

    assert every["total"] == len(every["rows"]) > 40
    assert "conductor" in {row["name"] for row in wire}
    for row in wire:
        assert "insulation" in " ".join([row["description"], *row["attributes"]])
    page = office.shown("/part-kinds?limit=5&offset=5")["rows"]
    assert page == every["rows"][5:10]
    assert office.get("/part-kinds?sort=name").status_code == 422
