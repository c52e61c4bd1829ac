"""What a change of the job changes in the take-off, and what it leaves alone."""

from dataclasses import replace
from decimal import Decimal

import pytest
from takeoff_factory import (
    SURFACES,
    count,
    hours_of,
    make_circuit,
    make_job,
    make_run,
    make_switch_run,
    make_whip,
    on_surface,
    parts_of,
    read_cases,
    taken,
)

from estimator.published.sources import load_sources
from estimator.takeoff.part_kinds import load_part_kinds
from estimator.takeoff.records import TakeOff

OF_THE_WALL = {"fastener", "drill_bit", "spacer", "backboard", "mounting_block"}
DUST = {("consumable", "fine-dust vacuum bag, 1 piece"): (Decimal(1), ())}
WITH_LENGTH = {
    "raceway", "flexible_raceway", "cable", "conductor", "raceway_coupling", "raceway_strap",
    "cable_staple", "cable_strap",
}  # fmt: skip
BY_LENGTH_TOO = {"fastener", "drill_bit"}
LENGTH_TASKS = {"emt_small", "pvc_small", "pull_small", "cable_small"}


def lines(result: TakeOff, leaving_out: set[str]) -> dict[tuple[str, str], tuple[Decimal, object]]:
    return {
        (part.kind, part.description): (part.quantity, part.cuts_ft)
        for part in result.parts
        if part.kind not in leaving_out
    }


def wide_job() -> tuple[object, ...]:
    """Runs of several methods, so that a wall has everything on it that it can have."""
    job = make_job()
    return (
        make_run("37", bends_deg=(Decimal(90), Decimal(90))),
        make_run("18", index=1, wiring_method="PVC-40", wall_penetrations=2),
        make_switch_run(job.circuits, index=2, length_ft="5", nipple=False),
    )


@pytest.mark.parametrize("surface", SURFACES)
def test_another_wall_changes_fasteners_bits_boards_and_hours_and_nothing_else(
    surface: str,
) -> None:
    runs = wide_job()

    before, after = on_surface("concrete_block", *runs), on_surface(surface, *runs)

    assert lines(after, OF_THE_WALL) | DUST == lines(before, OF_THE_WALL) | DUST
    assert {task.code for task in after.labour} - {task.code for task in before.labour} <= {
        "hole_frame", "hole_brick", "mount_backboard",
    }  # fmt: skip
    other = {"mount_inlet_surface", "mount_switch_surface", "hole_masonry"}
    assert [task for task in after.labour if task.code in LENGTH_TASKS] == [
        task for task in before.labour if task.code in LENGTH_TASKS
    ]
    assert {task.code: task.hours for task in before.labour if task.code not in other}.items() <= {
        task.code: task.hours for task in after.labour
    }.items()


def test_masonry_takes_more_hours_to_mount_on_than_wood() -> None:
    block, wood = on_surface("concrete_block"), on_surface("plywood")

    for code in ("mount_inlet_surface", "mount_switch_surface"):
        assert hours_of(block, code) == hours_of(wood, code) * Decimal("1.3")
    assert hours_of(block, "hole_masonry") > hours_of(wood, "hole_frame")


@pytest.mark.parametrize("method", ["EMT", "PVC-40", "NM-B"])
def test_twice_the_run_changes_what_goes_with_length_in_proportion_and_nothing_else(
    method: str,
) -> None:
    short, long = (
        taken(
            make_job(),
            make_run(
                feet,
                wiring_method=method,
                trade_size=None if method == "NM-B" else "3/4",
                wall_penetrations=0,
            ),
        )
        for feet in ("20", "40")
    )

    apart = WITH_LENGTH | BY_LENGTH_TOO | {"consumable"}
    assert lines(long, apart) == lines(short, apart)
    assert count(long, "raceway") == 2 * count(short, "raceway")
    if method == "EMT":
        assert count(long, "raceway_coupling") == 3
        assert count(short, "raceway_coupling") == 1
        assert count(long, "raceway_strap") == 5
        assert count(short, "raceway_strap") == 3
    for kind in ("conductor", "cable"):
        for one, other in zip(parts_of(short, kind), parts_of(long, kind), strict=True):
            gained = other.quantity - one.quantity
            assert abs(gained - 20 * Decimal("1.1")) <= Decimal("0.5")
    for task in short.labour:
        ratio = 2 if task.code in LENGTH_TASKS else 1
        assert abs(hours_of(long, task.code) - ratio * task.hours) <= Decimal("0.01"), task.code


def test_a_run_past_fifty_feet_only_adds_lubricant_among_the_consumables() -> None:
    short, long = (taken(make_job(), make_run(feet, wall_penetrations=0)) for feet in ("40", "80"))

    kept = WITH_LENGTH | BY_LENGTH_TOO
    gained = lines(long, kept).items() - lines(short, kept).items()
    assert [key for key, _ in gained] == [("consumable", "wire-pulling lubricant, 1 quart bottle")]


def every_sort_of_job() -> list[TakeOff]:
    plain = make_job()
    pair = (
        make_circuit("A", shared_neutral_with="B"),
        make_circuit("B", shared_neutral_with="A"),
        make_circuit("C", poles=2, protection="gfci"),
    )
    flush = make_job(
        circuits=pair,
        surface="hollow_drywall",
        transfer_mounting="flush",
        transfer_switched_neutral=True,
        labour_skill="own",
    )
    return [
        *(on_surface(surface, *wide_job()) for surface in SURFACES),
        taken(flush, make_run(surface="hollow_drywall"), make_whip(pair, surface="hollow_drywall")),
        taken(
            plain,
            make_run("1.5", wiring_method="RMC", wall_penetrations=0, nipple=True),
            make_switch_run(plain.circuits, wiring_method="LFNC-B", length_ft="8"),
        ),
        taken(replace(plain, labour=replace(plain.labour, factors=("occupied_house",)))),
    ]


def test_every_part_and_task_says_why_with_a_known_source() -> None:
    known = load_sources()

    for result in every_sort_of_job():
        for entry in (*result.parts, *result.labour):
            assert entry.because, entry
            assert all(reason.source in known for reason in entry.because)
            assert all(reason.text.endswith(".") for reason in entry.because)
        assert all(finding.source in known for finding in result.findings)


def test_every_part_is_of_a_known_kind_once_and_cuts_sum_to_its_quantity() -> None:
    kinds = load_part_kinds()

    for result in every_sort_of_job():
        identities = [(part.kind, part.attributes) for part in result.parts]
        assert len(set(identities)) == len(identities)
        for part in result.parts:
            kind = kinds[part.kind]
            assert tuple(name for name, _ in part.attributes) == kind.attributes
            assert part.description == kind.describe(part.attributes)
            assert (part.unit, part.cost_code) == (kind.unit, kind.cost_code)
            assert part.quantity > 0
            assert part.asked_by
            assert bool(part.cuts_ft) == (part.unit == "ft")
            assert not part.cuts_ft or sum(part.cuts_ft) == part.quantity
            assert part.unit == "ft" or part.quantity == int(part.quantity)
            assert len(part.because) <= 12
        ranks = [kinds.rank[part.kind] for part in result.parts]
        assert ranks == sorted(ranks)


def test_nothing_is_left_to_a_line_of_odds_and_ends() -> None:
    for result in every_sort_of_job():
        words = " ".join(
            [part.description for part in result.parts] + [task.task for task in result.labour]
        ).lower()
        assert not {"misc", "sundr", "allowance", "various"} & set(words.split())
        assert "misc" not in words


def test_a_small_job_counted_by_hand_is_met_line_by_line() -> None:
    result = taken(make_job())

    by_hand = {
        row["description"]: (Decimal(row["quantity"]), row["unit"])
        for row in read_cases("hand_counted_job.csv")
    }
    assert {part.description: (part.quantity, part.unit) for part in result.parts} == by_hand
