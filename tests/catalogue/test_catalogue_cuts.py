"""Goods by length are bought at least money so that every cut comes whole from one piece."""

from collections import Counter
from collections.abc import Iterator, Sequence
from decimal import ROUND_CEILING, Decimal
from itertools import product

import pytest
from catalogue_factory import WIRE, conduit, conduit_part, index, part, wire, wire_part
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.catalogue import cover
from estimator.catalogue import cuts as cuts_search
from estimator.catalogue.lay_out import lay_out
from estimator.catalogue.match import offers_for
from estimator.catalogue.purchase import plan_purchase
from estimator.catalogue.records import Item, Purchase
from estimator.takeoff.records import Part

Worth = tuple[Decimal, Decimal, int]
FOOT = wire("FOOT", "0.55")
COIL = wire("COIL", "0.38", "100")
REEL = wire("REEL", "0.34", "500")


def buy(needed: Part, *items: Item) -> Purchase:
    return plan_purchase([needed], index(*items)).purchases[0]


def bought(purchase: Purchase) -> list[tuple[str, int]]:
    return [(each.item.number, each.packs) for each in purchase.bought]


@pytest.mark.parametrize(
    ("cuts", "expected", "leftover"),
    [
        (["20"] * 3, [("FOOT", 60)], "0"),
        (["23"] * 3, [("FOOT", 69)], "0"),
        (["17.5"] * 4, [("COIL", 1)], "30"),  # 38.00 for the coil, 38.50 by the foot
        (["20"] * 5, [("COIL", 1)], "0"),
        (["20"] * 12, [("COIL", 2), ("FOOT", 40)], "0"),
        (["22"] * 11, [("COIL", 2), ("FOOT", 66)], "24"),  # four cuts a coil, not 4.5
        (["60"] * 2, [("FOOT", 120)], "0"),  # 66.00; a coil holds one cut only
        (["45"] * 10, [("REEL", 1)], "50"),
        (["45"] * 12, [("REEL", 1), ("FOOT", 45)], "5"),
    ],
)
def test_mixes_reels_coils_and_feet(
    cuts: list[str], expected: list[tuple[str, int]], leftover: str
) -> None:
    purchase = buy(wire_part(*cuts), FOOT, COIL, REEL)

    assert bought(purchase) == expected
    assert purchase.leftover == Decimal(leftover)
    assert purchase.optimal


def test_wire_by_the_foot_is_bought_in_whole_feet_once() -> None:
    purchase = buy(wire_part("12.25", "12.25"), FOOT)

    assert bought(purchase) == [("FOOT", 25)]
    assert purchase.leftover == Decimal("0.5")


def test_two_cuts_do_not_share_a_coil_that_only_their_halves_would_fill() -> None:
    assert bought(buy(wire_part("60", "60", "60"), COIL)) == [("COIL", 3)]


def test_a_cut_as_long_as_the_piece_fits_and_a_longer_one_does_not() -> None:
    fits = plan_purchase([wire_part("100")], index(COIL))
    over = plan_purchase([wire_part("100.5")], index(COIL))

    assert bought(fits.purchases[0]) == [("COIL", 1)]
    assert over.purchases[0].match == "unpriced"
    (finding,) = over.findings
    assert finding.code == "NO_PIECE_LONG_ENOUGH"
    assert "a piece of 100.5 ft is needed whole" in finding.message
    assert "the longest on offer is 100 ft (item COIL)" in finding.message


def test_only_the_cut_that_no_coil_holds_is_bought_by_the_foot() -> None:
    purchase = buy(wire_part("120", "40", "30", "30"), FOOT, COIL)

    assert bought(purchase) == [("COIL", 1), ("FOOT", 120)]


def test_length_without_cuts_may_come_in_any_packs() -> None:
    purchase = buy(part("130", "conductor", WIRE), COIL, wire("SHORT", "0.40", "25"))

    assert bought(purchase) == [("COIL", 1), ("SHORT", 2)]


@pytest.mark.parametrize(
    ("cuts", "sticks"),
    [
        (["18"], 2),  # 10 and 8
        (["18", "12"], 3),  # 10, 8 + 2 and 10
        (["10"], 1),
        (["10.5"], 2),
        (["6", "6", "6"], 3),
        (["6", "4", "6", "4"], 2),
        (["48", "30"], 8),
    ],
)
def test_conduit_is_joined_at_ten_feet_and_cut_from_sticks(cuts: list[str], sticks: int) -> None:
    purchase = buy(conduit_part(*cuts), conduit("STICK", "0.60"))

    assert bought(purchase) == [("STICK", sticks)]


def test_a_bundle_of_sticks_is_as_many_pieces() -> None:
    items = (conduit("STICK", "0.60"), conduit("BUNDLE", "0.30", "100", 10))

    few = buy(conduit_part("40"), *items)
    many = buy(conduit_part(*["6"] * 11), *items)

    assert bought(few) == [("STICK", 4)]
    assert bought(many) == [("BUNDLE", 1), ("STICK", 1)]


def test_a_search_out_of_budget_says_so_and_still_holds_every_cut(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(cuts_search, "COMBINATION_BUDGET", 1)
    monkeypatch.setattr(cover, "STEP_BUDGET", 1)

    plan = plan_purchase([wire_part(*["22"] * 11)], index(FOOT, COIL, REEL))

    assert not plan.optimal
    assert plan.purchases[0].leftover >= 0
    assert [finding.code for finding in plan.findings] == ["PURCHASE_NOT_PROVEN"]


def ways(cuts: Sequence[Decimal], items: Sequence[Item]) -> Iterator[Worth]:
    """Every way to put each cut on a piece of its own or on one begun, or to buy it by the foot."""
    whole_foot = next((each for each in items if each.pack == 1), None)
    pieces = [each for each in items if each.pack != 1]

    def place(number: int, begun: list[tuple[Item, Decimal]], feet: Decimal) -> Iterator[Worth]:
        if number == len(cuts):
            yield worth_of([each for each, _ in begun], whole_foot, feet)
            return
        cut = cuts[number]
        for position, (each, room) in enumerate(begun):
            if room >= cut:
                after = [*begun[:position], (each, room - cut), *begun[position + 1 :]]
                yield from place(number + 1, after, feet)
        for each in pieces:
            length = each.pack / each.pieces
            if length >= cut:
                yield from place(number + 1, [*begun, (each, length - cut)], feet)
        if whole_foot is not None:
            yield from place(number + 1, begun, feet + cut)

    def worth_of(used: list[Item], by_foot: Item | None, feet: Decimal) -> Worth:
        packs = [
            (each, -(-count // each.pieces))
            for each, count in ((i, sum(u is i for u in used)) for i in pieces)
            if count
        ]
        if by_foot is not None and feet:
            packs.append((by_foot, int(feet.to_integral_value(ROUND_CEILING))))
        return (
            sum((each.pack_price * count for each, count in packs), Decimal(0)),
            sum((each.pack * count for each, count in packs), Decimal(0)) - sum(cuts),
            sum(count for _, count in packs),
        )

    return place(0, [], Decimal(0))


@pytest.mark.parametrize("step", ["0.25", "0.1337"])
def test_hundreds_of_different_cuts_do_not_overwhelm_the_search(step: str) -> None:
    cuts = [str(Decimal(n) * Decimal(step) + 5) for n in range(380)]

    purchase = buy(wire_part(*cuts), COIL, wire("LONG", "0.35", "250"))

    assert sum(each.quantity for each in purchase.bought) >= sum(map(Decimal, cuts))
    assert purchase.leftover < 200


@settings(deadline=None, max_examples=300)
@given(
    st.lists(st.integers(2, 12), min_size=1, max_size=7),
    st.lists(st.integers(5, 14), min_size=1, max_size=3),
)
def test_lays_out_as_much_as_any_lay_out(cuts: list[int], pieces: list[int]) -> None:
    cuts.sort(reverse=True)
    expected = max(
        sum(cut for cut, place in zip(cuts, places, strict=True) if place < len(pieces))
        for places in product(range(len(pieces) + 1), repeat=len(cuts))
        if all(
            sum(cut for cut, at in zip(cuts, places, strict=True) if at == place) <= pieces[place]
            for place in range(len(pieces))
        )
    )
    total = sum(cuts)

    part_of = lay_out(cuts, pieces, most=total, enough=total, whole=False, budget=10_000)
    whole = lay_out(cuts, pieces, most=total, enough=total, whole=True, budget=10_000)

    assert (part_of.served, part_of.proven) == (expected, True)
    assert whole.proven
    assert (whole.served == total) is (expected == total)


@settings(deadline=None, max_examples=200)
@given(
    st.lists(st.sampled_from(["1.25", "2.5", "3", "4", "7"]).map(Decimal), min_size=1, max_size=5),
    st.sets(st.sampled_from(["5", "8", "10", "12.5"]), max_size=2),
)
def test_covering_all_cuts_at_once_finds_the_same(cuts: list[Decimal], packs: set[str]) -> None:
    items = [wire(f"P{pack}", "0.4000", pack) for pack in sorted(packs)]
    offers = offers_for(wire_part("1"), index(FOOT, *items))
    lengths = sorted((int(cut * 10_000) for cut in cuts), reverse=True)
    pieces = [offer for offer in offers if not offer.by_foot]

    found = cover.cheapest_cover(lengths, pieces, offers_for(wire_part("1"), index(FOOT))[0])

    assert found is not None
    money, leftover, count = min(ways(cuts, [FOOT, *items]))
    assert found.worth == (money * 10**8, (leftover + sum(cuts)) * 10**4, count)


CUTS = st.lists(
    st.sampled_from(["1", "2", "2.5", "3", "4", "5.25", "6", "7", "9"]).map(Decimal),
    min_size=1,
    max_size=5,
)
PIECES = st.lists(
    st.tuples(
        st.sampled_from(
            [("5", 1), ("8", 1), ("10", 1), ("12.5", 1), ("20", 1), ("20", 2), ("30", 3)]
        ),
        st.sampled_from(["0.3000", "0.3500", "0.4000", "0.4001", "0.5000"]),
    ),
    max_size=3,
)
BY_FOOT = st.none() | st.sampled_from(["0.3000", "0.4500", "0.5000", "0.9000"])


@settings(deadline=None, max_examples=300)
@given(CUTS, PIECES, BY_FOOT)
def test_no_other_purchase_is_better(
    cuts: list[Decimal], pieces: list[tuple[tuple[str, int], str]], by_foot: str | None
) -> None:
    items = [wire(f"P{n}", price, pack, of) for n, ((pack, of), price) in enumerate(pieces)]
    if by_foot is not None:
        items.append(wire("FOOT", by_foot))
    longest = max((each.pack / each.pieces for each in items if each.pack != 1), default=0)

    purchase = buy(wire_part(*map(str, cuts)), *items)

    if by_foot is None and longest < max(cuts):
        assert purchase.match == "unpriced"
        return
    money = sum((each.item.pack_price * each.packs for each in purchase.bought), Decimal(0))
    packs = sum(each.packs for each in purchase.bought)
    assert (money, purchase.leftover, packs) == min(ways(cuts, items))
    assert purchase.optimal


@settings(deadline=None, max_examples=60)
@given(
    st.lists(st.tuples(st.integers(8, 120), st.integers(1, 14)), min_size=1, max_size=3),
    st.sets(st.sampled_from(["25", "100", "250", "500"]), min_size=1),
)
def test_the_cuts_of_a_usual_job_are_proven(cuts: list[tuple[int, int]], packs: set[str]) -> None:
    items = [wire(f"P{pack}", f"0.{50 - int(pack) // 40}00", pack) for pack in sorted(packs)]
    wanted = Counter(dict(cuts))

    plan = plan_purchase([wire_part(*map(str, wanted.elements()))], index(FOOT, *items))

    assert plan.optimal
