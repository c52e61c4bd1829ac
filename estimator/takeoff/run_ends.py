"""Where a run begins and ends: equipment, or a junction box where two runs join."""

from typing import Literal

from estimator.sizing.records import RunDesign
from estimator.takeoff.taking import Taking, in_weather

End = Literal["inlet", "transfer", "load_centre", "junction_box"]


def run_before(taking: Taking, run: RunDesign) -> RunDesign | None:
    """The run of the same way that this one goes on from; None for the first."""
    return _neighbour(taking, run, -1)


def run_after(taking: Taking, run: RunDesign) -> RunDesign | None:
    """The run of the same way that goes on from this one; None for the last."""
    return _neighbour(taking, run, 1)


def _neighbour(taking: Taking, run: RunDesign, step: int) -> RunDesign | None:
    for other in taking.design.runs:
        if other.index == run.index + step and (other.from_, other.to) == (run.from_, run.to):
            return other
    return None


def run_ends(taking: Taking, run: RunDesign) -> tuple[End, End]:
    """What stands at the start and at the end of a run."""
    start: End = "junction_box" if run_before(taking, run) else run.from_
    end: End = "junction_box" if run_after(taking, run) else run.to
    return start, end


def box_stands_by(earlier: RunDesign, later: RunDesign) -> RunDesign:
    """The run in whose place the box between two runs stands: inside, where there is a choice."""
    if later.place == "underground":
        return earlier
    if earlier.place == "underground" or earlier.wall_penetrations:
        return later
    return earlier


def ends_in_weather(taking: Taking, run: RunDesign) -> tuple[bool, bool]:
    """Whether the enclosures at the start and at the end of a run stand in the weather."""
    before, after = run_before(taking, run), run_after(taking, run)
    beyond_a_wall = not run.wall_penetrations and _wet(run)
    start = _wet(box_stands_by(before, run)) if before else beyond_a_wall
    end = _wet(box_stands_by(run, after)) if after else beyond_a_wall
    inlet = taking.job.inlet
    if before is None and run.from_ == "inlet":
        start = in_weather(inlet.exposure, inlet.place)
    if after is None and run.to == "inlet":
        end = in_weather(inlet.exposure, inlet.place)
    return start, end


def _wet(run: RunDesign) -> bool:
    return in_weather(run.exposure, run.place)
