"""Runs in order: from the inlet to the load centre, joined end to end."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from estimator.finding import Fault
from estimator.units import plain

Given = Mapping[str, Any]
THROUGH_TRANSFER = (("inlet", "transfer"), ("transfer", "load_centre"))
STRAIGHT = (("inlet", "load_centre"),)


def legs_for(method: str) -> tuple[tuple[str, str], ...]:
    """The ways that the runs must cover in order; an interlock sits in the load centre."""
    return STRAIGHT if method == "interlock" else THROUGH_TRANSFER


def run_faults(told: Given) -> Iterator[Fault]:
    """Runs that do not start at the inlet, do not join, or contradict run_length_ft."""
    runs: Sequence[Given] = told.get("runs") or ()
    if not runs:
        return
    method = (told.get("transfer") or {}).get("method", "manual_switch")
    legs = legs_for(method)
    yield from _order(runs, legs, method)
    yield from _length(runs, legs[0], told)
    for index, run in enumerate(runs):
        yield from _depth(run, index)


def _order(
    runs: Sequence[Given], legs: tuple[tuple[str, str], ...], method: str
) -> Iterator[Fault]:
    stage = 0
    for index, run in enumerate(runs):
        ends = (run.get("from"), run.get("to"))
        if None in ends:
            return
        if ends not in legs:
            allowed = ", then ".join(f"{start} to {end}" for start, end in legs)
            yield Fault(
                f"/runs/{index}",
                f"a run from {ends[0]} to {ends[1]} cannot stand with method {method}; "
                f"runs go from {allowed}",
            )
            return
        place = legs.index((str(ends[0]), str(ends[1])))
        if (index == 0 and place != 0) or place < stage:
            before = "starts" if index == 0 else f"run {index} ends at {runs[index - 1]['to']}"
            wanted = "the first run starts at the inlet" if index == 0 else "runs join in order"
            yield Fault(
                f"/runs/{index}/from",
                f"{wanted}: this one is from {ends[0]} to {ends[1]}"
                + ("" if index == 0 else f" but {before}")
                + "; list the runs in order from the inlet to the load centre",
            )
            return
        stage = place


def _length(runs: Sequence[Given], first_leg: tuple[str, str], told: Given) -> Iterator[Fault]:
    stated = told.get("run_length_ft")
    if stated is None or any(
        run.get(name) is None for run in runs for name in ("from", "to", "length_ft")
    ):
        return
    lengths = [run["length_ft"] for run in runs if (run["from"], run["to"]) == first_leg]
    if lengths and sum(lengths) != stated:
        yield Fault(
            "/run_length_ft",
            f"{plain(stated)} ft differs from the runs from {first_leg[0]} to {first_leg[1]}, "
            f"which are {plain(sum(lengths))} ft long together; correct one of them",
        )


def _depth(run: Given, index: int) -> Iterator[Fault]:
    place = run.get("place", "not underground")
    if run.get("depth_in") is not None and place != "underground":
        yield Fault(
            f"/runs/{index}/depth_in",
            f"{plain(run['depth_in'])} in of cover is for a run underground, this one is {place}; "
            "set place to underground or take depth_in out",
        )
