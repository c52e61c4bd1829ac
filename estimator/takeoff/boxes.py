"""The smallest stocked box that serves, with its bonding and its mounting."""

from dataclasses import dataclass
from decimal import Decimal

from estimator.basis import Because, because
from estimator.sizing.records import RunDesign
from estimator.takeoff.anchors import fasten
from estimator.takeoff.table_rows import PullBoxRow
from estimator.takeoff.taking import Taking, in_weather
from estimator.units import plain, trade_rank

_NOTHING = Decimal(0)


@dataclass(frozen=True, slots=True)
class BoxWanted:
    """What a box must have. largest: trade size of its largest raceway or cable connector.

    straight_in: inside length for a straight pull; angle_in: inside length and width where
    wires turn or are spliced [in]. volume_in3: for smaller wires. weather: rain-tight.
    """

    largest: str
    weather: bool
    straight_in: Decimal = _NOTHING
    angle_in: Decimal = _NOTHING
    volume_in3: Decimal = _NOTHING

    @property
    def figures(self) -> dict[str, Decimal]:
        """What is asked, by name; nothing for what is not."""
        asked = {
            "straight_in": self.straight_in,
            "angle_in": self.angle_in,
            "volume_in3": self.volume_in3,
        }
        return {name: figure for name, figure in asked.items() if figure}


def needs_rain_tight(run: RunDesign) -> bool:
    """Whether a box in the place of a run must keep water out: in damp places too."""
    return in_weather(run.exposure, run.place) or run.exposure == "damp"


def smallest_stocked_box(taking: Taking, wanted: BoxWanted) -> PullBoxRow | None:
    """The first row of pull_boxes.csv, from small to large, that has all that is wanted."""
    return next((row for row in taking.tables.pull_boxes if _serves(row, wanted)), None)


def _serves(row: PullBoxRow, wanted: BoxWanted) -> bool:
    return (
        trade_rank(wanted.largest) <= trade_rank(row.largest_raceway)
        and (row.weather or not wanted.weather)
        and row.length_in >= max(wanted.straight_in, wanted.angle_in)
        and row.width_in >= wanted.angle_in
        and row.volume_in3 >= wanted.volume_in3
    )


def put_up_boxes(
    taking: Taking,
    row: PullBoxRow,
    count: int,
    beside: RunDesign,
    asked_by: str | tuple[str, ...],
    reason: Because,
) -> None:
    """Boxes with cover, a green screw with pigtail each, and what holds them.

    beside: the run in whose place they stand.
    """
    enclosure = "3R" if needs_rain_tight(beside) else "1"
    taking.parts.add("box", {"box": row.box, "enclosure": enclosure}, count, asked_by, reason)
    bond = because("A metal box is bonded to the equipment ground.", "nec_metal_box_bonding")
    taking.parts.add("ground_screw", {"thread": "10-32"}, count, asked_by, bond)
    pointer = asked_by if isinstance(asked_by, str) else asked_by[0]
    item = "pull_box" if row.weather else "junction_box"
    exposure = "wet" if in_weather(beside.exposure, beside.place) else beside.exposure
    fasten(taking, item, count, beside.surface, pointer, exposure=exposure)


def tell_box_missing(taking: Taking, code: str, what: str, wanted: BoxWanted, pointer: str) -> None:
    """An error for a box that is larger than any in stock."""
    sizes = [f"{plain(inches)} in long inside" for inches in (wanted.straight_in,) if inches]
    sizes += [f"{plain(inches)} in each way inside" for inches in (wanted.angle_in,) if inches]
    asked = f", {' and '.join(sizes)}" if sizes else ""
    taking.find(
        "error",
        code,
        f"{what} for {wanted.largest} raceway{asked}; the largest that we know is "
        f"{taking.tables.pull_boxes[-1].box} in.",
        pointer,
        "nec_pull_box_straight",
        "Have the box made to the size that the code asks, or use less bends.",
    )
