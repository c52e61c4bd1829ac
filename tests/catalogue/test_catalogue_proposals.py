"""Exact and confirmed items first; a proposed one only where there is none, and never a guess."""

from dataclasses import replace
from decimal import Decimal

import pytest
from catalogue_factory import WIRE, index, item, part, price_list, wire_part
from conftest import ROOT, SAMPLE_DAY

from estimator import usecases
from estimator.catalogue.match import index_items
from estimator.catalogue.may_differ import load_may_differ
from estimator.catalogue.purchase import plan_purchase
from estimator.catalogue.records import Item, Purchase, PurchasePlan
from estimator.documents.text_report import text_report
from estimator.job.read import read_job_document
from estimator.takeoff.part_kinds import load_part_kinds
from estimator.takeoff.records import Attributes, Part

SAMPLES = ROOT / "catalog_samples"
OTHER = SAMPLES / "price_lists_other"


def described(number: str, price: str, **changes: object) -> Item:
    return replace(item(number, price), read_from="description", **changes)


def with_value(attributes: Attributes, name: str, value: str) -> Attributes:
    return tuple((each, value if each == name else old) for each, old in attributes)


def coloured(number: str, price: str, colour: str) -> Item:
    attributes = with_value(WIRE, "colour", colour)
    return item(number, price, kind="conductor", attributes=attributes)


def only(plan: PurchasePlan) -> Purchase:
    (purchase,) = plan.purchases
    return purchase


def test_an_item_read_from_its_description_is_proposed_with_score_and_reasons() -> None:
    purchase = only(plan_purchase([part("3")], index(described("D-1", "0.20"))))

    assert purchase.match == "proposed"
    assert purchase.score == 1
    assert "item D-1 is read from its description" in purchase.reasons[0]
    assert purchase.bought[0].packs == 3


def test_an_exact_item_goes_before_a_cheaper_proposed_one() -> None:
    purchase = only(
        plan_purchase([part("3")], index(described("D-1", "0.02"), item("E-1", "0.40")))
    )

    assert purchase.match == "exact"
    assert purchase.bought[0].item.number == "E-1"
    assert purchase.score is None


def test_a_confirmed_item_is_bought_like_an_exact_one_and_told_apart() -> None:
    confirmed = replace(item("C-1", "0.20"), read_from="confirmed")

    cheap = only(plan_purchase([part("3")], index(confirmed, item("E-1", "0.40"))))
    dear = only(plan_purchase([part("3")], index(confirmed, item("E-1", "0.10"))))

    assert (cheap.match, cheap.bought[0].item.number) == ("confirmed", "C-1")
    assert (dear.match, dear.bought[0].item.number) == ("exact", "E-1")


def test_each_thing_taken_for_granted_lowers_the_score_and_is_told() -> None:
    doubtful = described("D-1", "0.20", supposed=("One thing.", "Another thing."))

    purchase = only(plan_purchase([part("3")], index(doubtful)))

    assert purchase.score == Decimal("0.90")
    assert purchase.reasons[1:] == ("One thing.", "Another thing.")


def test_another_colour_of_a_hot_conductor_is_proposed() -> None:
    purchase = only(plan_purchase([wire_part("20")], index(coloured("R-1", "0.40", "red"))))

    assert purchase.match == "proposed"
    assert purchase.score == Decimal("0.90")
    assert purchase.reasons == ("colour is red, not black, which is a matter of looks",)


@pytest.mark.parametrize("colour", ["white", "green", "grey", "bare"])
def test_colours_that_tell_neutral_or_ground_never_stand_in(colour: str) -> None:
    purchase = only(plan_purchase([wire_part("20")], index(coloured("R-1", "0.40", colour))))

    assert purchase.match == "unpriced"


def test_no_other_colour_stands_in_for_white() -> None:
    white = load_part_kinds().part(
        "conductor",
        with_value(WIRE, "colour", "white"),
        Decimal(20),
        asked_by=("/runs/0",),
        because=(),
        cuts_ft=(Decimal(20),),
    )

    assert only(plan_purchase([white], index(coloured("R-1", "0.40", "red")))).match == "unpriced"


def test_cuts_of_one_part_are_proposed_in_one_colour() -> None:
    reds = [coloured("R-1", "0.40", "red"), coloured("B-1", "0.41", "blue")]

    purchase = only(plan_purchase([wire_part("20", "30")], index(*reds)))

    assert {bought.item.number for bought in purchase.bought} == {"R-1"}


OTHER_VALUE = {
    "size": "8 AWG", "material": "al", "insulation": "XHHW-2", "trade_size": "1",
    "raceway": "RMC", "style": "set-screw", "configuration": "L5-30", "enclosure": "1",
    "mounting": "flush", "poles": "3",
}  # fmt: skip
PARTS: list[tuple[str, Attributes]] = [
    ("conductor", WIRE),
    (
        "raceway_connector",
        (("raceway", "EMT"), ("trade_size", "3/4"), ("style", "compression rain-tight")),
    ),
    (
        "power_inlet_box",
        (("configuration", "L14-30"), ("enclosure", "3R"), ("mounting", "surface")),
    ),
    ("handle_tie", (("poles", "2"),)),
]


@pytest.mark.parametrize("read_from", ["columns", "confirmed", "description"])
@pytest.mark.parametrize(
    ("kind", "attributes", "name"),
    [(kind, attributes, name) for kind, attributes in PARTS for name, _ in attributes],
)
def test_an_attribute_that_matters_never_differs_in_a_proposal(
    kind: str, attributes: Attributes, name: str, read_from: str
) -> None:
    if (name, dict(attributes)[name]) in load_may_differ().get(kind, {}):
        return
    other = with_value(attributes, name, OTHER_VALUE[name])
    offered = replace(item("X-1", "1.00", kind=kind, attributes=other), read_from=read_from)
    wanted = load_part_kinds().part(kind, attributes, Decimal(1), asked_by=(), because=())

    assert only(plan_purchase([wanted], index(offered))).match == "unpriced"


def test_only_colours_may_differ() -> None:
    assert {
        (kind, attribute) for kind, groups in load_may_differ().items() for attribute, _ in groups
    } == {("conductor", "colour")}


def test_rows_that_were_not_understood_are_told_once_a_list() -> None:
    text = b"item number,description,price,per\nA1,3/4 EMT COMP CONN STL,1.90,EA\n"
    catalogue = usecases.read_catalogue([("described.csv", text)])

    findings = catalogue.index_for("USD").findings

    assert [finding.code for finding in findings] == ["PRICE_LIST_ROWS_NOT_UNDERSTOOD"]
    assert "1 of 1 rows of described.csv" in findings[0].message
    assert "COMP" in findings[0].message


def test_items_of_another_currency_are_not_proposed() -> None:
    other = index_items([price_list([described("D-1", "0.20", currency="CAD")])], "USD")

    assert only(plan_purchase([part("3")], other)).match == "unpriced"


def sample(*names: str, confirmed: str | None = None) -> usecases.Catalogue:
    files = [((OTHER / name).name, (OTHER / name).read_bytes()) for name in names]
    told = (confirmed, (OTHER / confirmed).read_bytes()) if confirmed else None
    return usecases.read_catalogue(files, told)


def six_circuits() -> object:
    path = SAMPLES / "jobs" / "six_circuit_block.yaml"
    return read_job_document(path.read_bytes(), path.name)


def test_the_draft_prices_proposed_matches_and_says_to_confirm_them() -> None:
    full = usecases.estimate_job(six_circuits(), sample("descriptions_only.csv"), today=SAMPLE_DAY)

    assert full.price.complete
    assert full.price.proposed == len(full.take_off.parts)
    (finding,) = [one for one in full.findings if one.code == "PROPOSED_MATCHES"]
    assert finding.severity == "warning"
    assert "confirm before sending" in finding.remedy.lower()
    assert "CC1001" in finding.message
    report = text_report(full)
    assert "proposed, to be confirmed" in report
    assert f"rests on {full.price.proposed} proposed matches" in report


def test_confirmed_matches_are_no_longer_proposed() -> None:
    catalogue = sample("descriptions_only.csv", confirmed="confirmed_matches.csv")

    full = usecases.estimate_job(six_circuits(), catalogue, today=SAMPLE_DAY)

    matches = {line.item: line.match for line in full.price.lines}
    assert matches["CC1010"] == matches["CC2101"] == "confirmed"
    assert matches["CC1001"] == "proposed"


def test_the_price_is_complete_only_when_no_part_is_unpriced() -> None:
    parts: list[Part] = [part("3"), wire_part("20")]

    plan = plan_purchase(parts, index(described("D-1", "0.20")))

    assert [purchase.match for purchase in plan.purchases] == ["proposed", "unpriced"]
