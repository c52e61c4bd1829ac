"""Circuits on legs: exact where it matters, fast where it is large."""

from decimal import Decimal
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sizing_jobs import a_circuit, two_pole

from estimator.sizing.balance import balance
from estimator.sizing.legs import assign_legs
from estimator.sizing.shared_neutrals import shared_neutral_pairs

WATTS = st.decimals(min_value=0, max_value=4000, places=1)


def circuits_of(single, paired=(), double=()):
    found = [a_circuit(f"S{n}", watts) for n, watts in enumerate(single)]
    for n, (one, other) in enumerate(paired):
        found.append(a_circuit(f"P{n}", one, shared_neutral_with=f"Q{n}"))
        found.append(a_circuit(f"Q{n}", other))
    found += [two_pole(f"T{n}", watts) for n, watts in enumerate(double)]
    return found


def heavier(circuits, legs):
    first = second = Decimal(0)
    for circuit, leg in zip(circuits, legs, strict=True):
        first += {"L1": 1, "L2": 0, "L1+L2": Decimal("0.5")}[leg] * circuit.running_w
        second += {"L1": 0, "L2": 1, "L1+L2": Decimal("0.5")}[leg] * circuit.running_w
    return max(first, second)


def brute_force(circuits, pairs, positions=None):
    """Heavier leg of the best of all assignments, or None when none fits the positions."""
    best = None
    for legs in product(("L1", "L2"), repeat=len(circuits)):
        if any(legs[one] == legs[other] for one, other in pairs):
            continue
        legs = ["L1+L2" if c.poles == 2 else leg for c, leg in zip(circuits, legs, strict=True)]
        if positions is not None:
            taken = [sum(name in leg for leg in legs) for name in ("L1", "L2")]
            if taken[0] > positions[0] or taken[1] > positions[1]:
                continue
        load = heavier(circuits, legs)
        best = load if best is None else min(best, load)
    return best


@settings(max_examples=60)
@given(
    st.lists(WATTS, min_size=1, max_size=7),
    st.lists(st.tuples(WATTS, WATTS), max_size=2),
    st.lists(WATTS, max_size=2),
)
def test_heavier_leg_is_that_of_the_best_of_all_assignments(single, paired, double):
    circuits = circuits_of(single, paired, double)
    pairs, faults = shared_neutral_pairs(circuits)

    assignment = assign_legs(circuits, pairs)

    assert not faults
    assert assignment.proven
    assert heavier(circuits, assignment.legs) == brute_force(circuits, pairs)
    assert all(assignment.legs[one] != assignment.legs[other] for one, other in pairs)


@settings(max_examples=60)
@given(
    st.lists(WATTS, max_size=7),
    st.lists(st.tuples(WATTS, WATTS), max_size=1),
    st.lists(WATTS, max_size=1),
    st.tuples(st.integers(0, 6), st.integers(0, 6)),
)
def test_heavier_leg_is_the_best_that_the_positions_allow(single, paired, double, positions):
    circuits = circuits_of(single, paired, double)
    pairs, _ = shared_neutral_pairs(circuits)
    least = brute_force(circuits, pairs, positions)

    assignment = assign_legs(circuits, pairs, positions)

    if least is None:
        least = brute_force(circuits, pairs)
    assert heavier(circuits, assignment.legs) == (least or 0)


def test_positions_that_forbid_the_best_balance_are_told():
    circuits = circuits_of([900, 300, 300, 300])

    free = assign_legs(circuits, ())
    limited = assign_legs(circuits, (), (2, 2))

    assert heavier(circuits, free.legs) == 900
    assert not free.limited_by_positions
    assert heavier(circuits, limited.legs) == 1200
    assert limited.limited_by_positions


def test_equal_balance_spreads_circuits_evenly():
    circuits = circuits_of([0, 0, 0, 0])

    assignment = assign_legs(circuits, ())

    assert sorted(assignment.legs) == ["L1", "L1", "L2", "L2"]


@pytest.mark.parametrize("count", [24, 25, 400])
def test_large_jobs_are_balanced_as_far_as_whole_watts_allow(count):
    circuits = circuits_of([37 * n % 911 + 1 for n in range(count)])
    whole = sum(circuit.running_w for circuit in circuits)

    assignment = assign_legs(circuits, ())

    assert assignment.proven
    assert heavier(circuits, assignment.legs) - whole / 2 <= Decimal("0.5")


def test_a_balance_that_is_too_large_to_prove_says_so():
    leans = [1_000_003 * (n + 1) % 7_919_001 * 3 + 1 for n in range(90)]

    split = balance([lean * 1_000_000 + 7 * lean for lean in leans], 90, 45, 45)

    assert not split.proven
    assert sum(split.on_second) == 45


UNITS = st.lists(st.integers(0, 60), min_size=1, max_size=9)


@settings(max_examples=200)
@given(UNITS, st.integers(0, 9), st.integers(0, 9), st.integers(0, 9))
def test_gap_is_the_least_that_the_number_on_the_second_side_allows(leans, counting, one, other):
    counting = min(counting, len(leans))
    least, most = (min(bound, counting) for bound in sorted((one, other)))

    split = balance(leans, counting, least, most)

    gaps = [
        abs(sum(-lean if on else lean for lean, on in zip(leans, side, strict=True)))
        for side in product((False, True), repeat=len(leans))
        if least <= sum(side[:counting]) <= most
    ]
    assert split.proven
    assert split.gap == min(gaps)
    assert least <= sum(split.on_second[:counting]) <= most


def test_large_job_keeps_within_the_positions_of_each_leg():
    circuits = circuits_of([3000, *[10] * 29])

    assignment = assign_legs(circuits, (), (15, 15))

    assert assignment.legs.count("L1") == 15


def test_shared_neutral_named_by_one_half_is_a_pair():
    circuits = circuits_of([100], [(200, 300)])

    pairs, faults = shared_neutral_pairs(circuits)

    assert pairs == ((1, 2),)
    assert faults == ()


@pytest.mark.parametrize(
    ("partner", "text"),
    [
        ("Nobody", "no circuit of that name"),
        ("S0", "the circuit itself"),
        ("T0", "uses both legs already"),
        ("P0", "paired with another circuit already"),
    ],
)
def test_unclear_shared_neutral_is_an_error_with_a_way_out(partner, text):
    circuits = circuits_of([], [(200, 300)], [1000])
    circuits.append(a_circuit("S0", 50, shared_neutral_with=partner))

    pairs, (fault,) = shared_neutral_pairs(circuits)

    assert pairs == ((0, 1),)
    assert fault.code == "SHARED_NEUTRAL_UNCLEAR"
    assert fault.where == "/circuits/3/shared_neutral_with"
    assert text in fault.message
    assert "exactly two one-pole circuits" in fault.remedy


@pytest.mark.parametrize(
    ("leans", "gap"),
    [
        # Heaviest first parts 7 + 4 + 3 from 6 + 5; 7 for 6 leaves 13 and 12.
        ([7, 6, 5, 4, 3], 1),
        # Here one exchange leaves 4 and a second one nothing.
        ([22, 13, 17, 18, 11, 23, 8], 0),
    ],
)
def test_exchanges_close_the_gap_that_heaviest_first_leaves(monkeypatch, leans, gap):
    monkeypatch.setattr("estimator.sizing.balance.EXACT_BITS", 0)

    assert balance(leans, len(leans), 0, len(leans)).gap == gap
