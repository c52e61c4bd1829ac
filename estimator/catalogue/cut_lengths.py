"""The cuts of a part, in steps: goods that are joined end to end are divided at every 10 ft."""

from estimator.catalogue.match import STEPS_PER_UNIT, steps
from estimator.takeoff.part_kinds import load_part_kinds
from estimator.takeoff.records import Part

STICK_FT = 10
STICK = STICK_FT * STEPS_PER_UNIT


def cut_lengths(part: Part) -> list[int]:
    """Every piece that must be whole; empty for a part that may come in any packs."""
    if not load_part_kinds()[part.kind].stick:
        return [steps(cut) for cut in part.cuts_ft]
    return [piece for cut in part.cuts_ft for piece in in_sticks(steps(cut))]


def in_sticks(length: int) -> list[int]:
    """A length as whole sticks and the rest."""
    whole, rest = divmod(length, STICK)
    return [STICK] * whole + ([rest] if rest else [])
