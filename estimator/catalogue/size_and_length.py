"""The trade size and the length of a nipple, both of which are inches."""

from collections.abc import Sequence

from estimator.catalogue.description_figures import FORMS
from estimator.catalogue.description_marks import Figure, Mark
from estimator.units import TRADE_SIZES, inches

# The shortest nipple, 1/2 close, is longer: what is no more than this is a trade size.
_SHORTER_THAN_ANY_IN = 1


def size_and_length(marks: Sequence[Mark]) -> tuple[int, int] | None:
    """Places of trade size and length written apart: "1 RMC NIPPLE, 4 IN"; None if not so.

    The trade writes the size first, and no nipple is shorter than its trade size. The length
    is marked as inches, and the size is not, or is too short for a length.
    """
    places = _in_inches(marks)
    if len(places) != 2:
        return None
    size, length = (marks[at].figures[0] for at in places)
    if size.value not in TRADE_SIZES or length.unit != "inch":
        return None
    if size.unit == "inch" and _may_be_length(size):
        return None
    return (places[0], places[1]) if inches(length.value) >= inches(size.value) else None


def size_or_length(marks: Sequence[Mark]) -> list[int]:
    """Places of the inches that may be the one as well as the other; mostly none.

    They are several, or one that stands alone and is marked as inches: "RMC NIPPLE 4 IN".
    """
    places = _in_inches(marks)
    if len(places) != 1:
        return places
    alone = all(len(mark.figures) < 2 for mark in marks)
    figure = marks[places[0]].figures[0]
    return places if alone and figure.unit == "inch" and _may_be_length(figure) else []


def _in_inches(marks: Sequence[Mark]) -> list[int]:
    return [at for at, mark in enumerate(marks) if FORMS["inches"](mark)]


def _may_be_length(figure: Figure) -> bool:
    return inches(figure.value) > _SHORTER_THAN_ANY_IN
