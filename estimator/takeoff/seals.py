"""Against water in a raceway: seals of a buried one, drain opening of an outdoor one."""

from fractions import Fraction

from estimator.basis import because
from estimator.sizing.records import RunDesign
from estimator.takeoff.consumables import use_up
from estimator.takeoff.raceway_plan import RacewayPlan
from estimator.takeoff.taking import Taking, in_weather, run_pointer

_ENDS = 2
_DRAIN_BIT = "twist bit"
_DRAIN = "RACEWAY_DRAIN"


def take_seal_and_drain(taking: Taking, run: RunDesign, plan: RacewayPlan) -> None:
    """Plugs of a buried raceway, and the drain opening of one that stands in the weather."""
    if run.place == "underground":
        seal_buried_ends(taking, run)
    elif run.place == "outdoor" and in_weather(run.exposure, run.place):
        _drain(taking, run, plan)


def seal_buried_ends(taking: Taking, run: RunDesign) -> None:
    """Sealing compound at both upper ends of what comes out of the earth."""
    seal = because(
        "Both ends of what lies in the earth are plugged, so that its moisture does not reach "
        "live parts: a quarter pound of sealing compound an end.",
        "nec_underground_seal",
        plugs=_ENDS,
    )
    use_up(taking, "duct_seal", _ENDS, run_pointer(run), seal)


def _drain(taking: Taking, run: RunDesign, plan: RacewayPlan) -> None:
    if plan.boxes or plan.body_ends:
        hole = taking.tables.allowances["drain_opening"]
        reason = because(
            "Water gathers in an outdoor raceway: the lowest box or conduit body of the run gets "
            "a drain opening.",
            hole.source,
            opening_in=hole.value,
        )
        key = (_DRAIN_BIT, str(Fraction(hole.value)))
        taking.fasteners.drill(key, 1, run_pointer(run), reason, wears_out=False)
    if any(finding.code == _DRAIN for finding in taking.findings):
        return
    taking.find(
        "note",
        _DRAIN,
        "Water gathers in an outdoor raceway; its lowest box or conduit body gets a drain opening "
        "of 1/8 to 1/4 in, for which a bit is among the parts.",
        run_pointer(run),
        "nec_box_in_wet",
        "Make the opening at the lowest point when the run is built.",
    )
