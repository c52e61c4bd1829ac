"""Figures of a description as values of attributes: one function for each form."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from estimator.catalogue.description_marks import Figure, Mark
from estimator.units import TRADE_SIZES, WIRE_SIZES, trade_rank, wire_rank

_WIRE = frozenset(WIRE_SIZES)
_TRADE = frozenset(TRADE_SIZES)
_BARE_ANGLES = frozenset({"30", "45", "90"})
_SCREW_NUMBERS = frozenset({"4", "6", "8", "10", "12", "14"})
_LARGEST_BARE_INCHES = 12
_SQUARE_BOXES = ("4", "4-11/16")
_BOX_DEPTHS = ("1-1/4", "1-1/2", "2-1/8")
_LONGEST_THREAD_PITCH = 18
_TIED = ("2", "3")


@dataclass(frozen=True, slots=True)
class Found:
    """A value that a mark can give. sure: its form says so; a bare number may be another."""

    value: str
    sure: bool


Form = Callable[[Mark], Found | None]


def _single(mark: Mark) -> Figure | None:
    return mark.figures[0] if len(mark.figures) == 1 and not mark.packed else None


def _inch_text(figure: Figure) -> str | None:
    if figure.sure_unit not in ("", "inch") or figure.shape not in ("whole", "fraction"):
        return None
    return figure.value


def _inches(mark: Mark) -> Found | None:
    figure = _single(mark)
    value = _inch_text(figure) if figure else None
    if figure is None or value is None:
        return None
    sure = figure.shape == "fraction" or figure.unit == "inch"
    if not sure and int(value) > _LARGEST_BARE_INCHES:
        return None
    return Found(value, sure)


def _trade(mark: Mark) -> Found | None:
    found = _inches(mark)
    return found if found is not None and found.value in _TRADE else None


def _trade_not_travel(mark: Mark) -> Found | None:
    figure = _single(mark)
    travel = figure is not None and figure.shape == "whole" and figure.unit == "inch"
    return None if travel else _trade(mark)


def _travel(mark: Mark) -> Found | None:
    figure = _single(mark)
    if figure is None or figure.shape != "whole" or figure.unit != "inch":
        return None
    return Found(figure.value, True)


def _wire(mark: Mark) -> Found | None:
    figure = _single(mark)
    return None if figure is None else _wire_size(figure)


def _wire_size(figure: Figure) -> Found | None:
    if figure.shape == "gauge" or figure.shape == "aught" or figure.unit == "awg":
        size, sure = f"{figure.value} AWG", True
    elif figure.unit == "kcmil":
        size, sure = f"{figure.value} kcmil", True
    elif figure.shape == "whole" and not figure.sure_unit:
        size, sure = f"{figure.value} AWG", False
    else:
        return None
    return Found(size, sure) if size in _WIRE else None


def _with_unit(unit: str) -> Form:
    def form(mark: Mark) -> Found | None:
        figure = _single(mark)
        if figure is None or figure.unit != unit or figure.shape == "decimal":
            # "150/200 A" is two ratings.
            return None
        return Found(figure.value, True)

    return form


def _with_shape(*shapes: str) -> Form:
    def form(mark: Mark) -> Found | None:
        figure = _single(mark)
        return Found(figure.value, True) if figure and figure.shape in shapes else None

    return form


def _degrees(mark: Mark) -> Found | None:
    figure = _single(mark)
    if figure is None:
        return None
    if figure.unit == "degree":
        return Found(figure.value, True)
    bare = figure.shape == "whole" and not figure.sure_unit and figure.value in _BARE_ANGLES
    return Found(figure.value, False) if bare else None


def _configuration(mark: Mark) -> Found | None:
    figure = _single(mark)
    if figure is None or figure.shape not in ("configuration", "plug"):
        return None
    # A power inlet has the blades of a plug.
    return Found(figure.value.removesuffix("P") if figure.shape == "plug" else figure.value, True)


def _thread(mark: Mark) -> Found | None:
    figure = mark.figures[0]
    if figure.shape != "span" or len(mark.figures) > 2:
        return None
    pitch = int(figure.value.partition("-")[2])
    return Found(figure.value, True) if pitch >= _LONGEST_THREAD_PITCH else None


def _sides(mark: Mark, count: int) -> tuple[Figure, ...]:
    return mark.figures if len(mark.figures) == count else ()


def _side(place: int, count: int) -> Form:
    def form(mark: Mark) -> Found | None:
        sides = _sides(mark, count)
        value = _inch_text(sides[place]) if sides else None
        return None if value is None else Found(value, True)

    return form


def _trade_side(mark: Mark) -> Found | None:
    found = _side(0, 2)(mark)
    return found if found is not None and found.value in _TRADE else None


def _size_by_length(mark: Mark) -> Found | None:
    """The trade size of "3/4 X 10FT"."""
    sides = _sides(mark, 2)
    if not sides or sides[1].unit == "inch":
        return None
    return _trade_side(mark)


def _wire_by_length(mark: Mark) -> Found | None:
    sides = _sides(mark, 2)
    return _wire_size(sides[0]) if sides and sides[1].unit == "foot" else None


def _conductors_by_length(mark: Mark) -> Found | None:
    sides = _sides(mark, 2)
    return Found(sides[0].value, True) if sides and sides[0].shape == "conductors" else None


def _degree_side(mark: Mark) -> Found | None:
    sides = _sides(mark, 2)
    if sides and (sides[1].unit == "degree" or sides[1].value in _BARE_ANGLES):
        return Found(sides[1].value, True)
    return None


def _screw_number(figure: Figure) -> str | None:
    if figure.shape == "gauge" or (figure.shape == "whole" and not figure.sure_unit):
        return f"#{figure.value}" if figure.value in _SCREW_NUMBERS else None
    return _inch_text(figure) if figure.shape == "fraction" else None


def _screw(mark: Mark) -> Found | None:
    sides = _sides(mark, 2)
    value = _screw_number(sides[0]) if sides else None
    return None if value is None else Found(value, True)


def _box(mark: Mark) -> Found | None:
    sides = [_inch_text(figure) for figure in _sides(mark, 3)]
    if not sides or None in sides:
        return None
    return Found(" x ".join([side for side in sides if side]), True)


def _board(mark: Mark) -> Found | None:
    sides = _sides(mark, 2)
    if not sides or any(side.shape != "whole" or side.unit not in ("", "foot") for side in sides):
        return None
    return Found(" x ".join([side.value for side in sides]), True)


def _square_box(mark: Mark) -> Found | None:
    sides = [_inch_text(figure) for figure in _sides(mark, 2)]
    if not sides or sides[0] not in _SQUARE_BOXES or sides[1] not in _BOX_DEPTHS:
        return None
    return Found(f"{sides[0]} x {sides[1]} square", True)


def _lumber(mark: Mark) -> Found | None:
    sides = _sides(mark, 2)
    if not sides or any(side.shape != "whole" or side.unit for side in sides):
        return None
    return Found(" x ".join([side.value for side in sides]), True)


def _board_with_length(mark: Mark) -> Sequence[Figure]:
    """The sides of "1X4X8FT"."""
    sides = _sides(mark, 3)
    whole = all(side.shape == "whole" for side in sides)
    units = [side.unit for side in sides]
    return sides if whole and units == ["", "", "foot"] else ()


def _lumber_with_length(mark: Mark) -> Found | None:
    sides = _board_with_length(mark)
    return Found(f"{sides[0].value} x {sides[1].value}", True) if sides else None


def _length_of_lumber(mark: Mark) -> Found | None:
    sides = _board_with_length(mark)
    return Found(sides[2].value, True) if sides else None


def _tied(mark: Mark) -> Found | None:
    """How many one-pole breakers a handle tie joins: the 2 of "F/2 1P BRKRS"."""
    figure = _single(mark)
    if figure is None or figure.shape != "whole" or figure.value not in _TIED:
        return None
    if figure.sure_unit == "pole":
        return Found(figure.value, True)
    return None if figure.sure_unit else Found(figure.value, False)


def _knockouts(place: int) -> Form:
    def form(mark: Mark) -> Found | None:
        sides = [_inch_text(figure) for figure in _sides(mark, 2)]
        sizes = [side for side in sides if side in _TRADE]
        if len(sizes) != 2 or sizes[0] == sizes[1]:
            return None
        return Found(sorted(sizes, key=trade_rank)[place], True)

    return form


def _splice(mark: Mark) -> Found | None:
    sides = _sides(mark, 2)
    if not sides or sides[0].shape != "whole":
        return None
    size = _wire_size(sides[1])
    return Found(f"{sides[0].value} x {size.value}", True) if size and size.sure else None


def _wire_range(mark: Mark) -> Found | None:
    """The wires that a connector takes: "14-2/0", "6-500"."""
    figure = _single(mark)
    if figure is None or figure.shape not in ("range", "span"):
        return None
    sizes = [_any_wire(end) for end in figure.value.split("-")]
    if None in sizes or sizes[0] == sizes[1]:
        return None
    least, most = sorted([size for size in sizes if size], key=wire_rank)
    return Found(f"{least} to {most}", True)


def _any_wire(text: str) -> str | None:
    sizes = (f"{text} AWG", f"{text} kcmil")
    return next((size for size in sizes if size in _WIRE), None)


def _staple(mark: Mark) -> Found | None:
    found = _inches(mark)
    return None if found is None else Found(f"{found.value} in", found.sure)


FORMS: Mapping[str, Form] = {
    "inches": _inches,
    "trade size": _trade,
    "trade size without inches": _trade_not_travel,
    "whole inches": _travel,
    "trade size by length": _size_by_length,
    "trade size of two sides": _trade_side,
    "wire size": _wire,
    "wire size by length": _wire_by_length,
    "conductors": _with_shape("conductors"),
    "conductors by length": _conductors_by_length,
    "configuration": _configuration,
    "plug": _with_shape("plug"),
    "cord connector": _with_shape("cord_connector"),
    "degrees": _degrees,
    "degrees of two sides": _degree_side,
    "amperes": _with_unit("ampere"),
    "circuits": _with_unit("circuit"),
    "poles": _with_unit("pole"),
    "spaces": _with_unit("space"),
    "terminals": _with_unit("terminal"),
    "feet": _with_unit("foot"),
    "square feet": _with_unit("square foot"),
    "thread": _thread,
    "first of two sides": _side(0, 2),
    "second of two sides": _side(1, 2),
    "range of wires": _wire_range,
    "screw of two sides": _screw,
    "three sides": _box,
    "ports": _with_unit("port"),
    "board of two sides": _lumber,
    "board of three sides": _lumber_with_length,
    "third of three sides in feet": _length_of_lumber,
    "one-pole breakers tied": _tied,
    "cubic inches": _with_unit("cubic inch"),
    "two sides of a square box": _square_box,
    "two sides in feet": _board,
    "smaller of two sides": _knockouts(0),
    "larger of two sides": _knockouts(1),
    "wires by size": _splice,
    "width with unit": _staple,
}
