"""One description held against the frame of one kind of part."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from estimator.catalogue.description_figures import FORMS, Found
from estimator.catalogue.description_marks import Mark
from estimator.catalogue.lexicon import Concepts, Frame, Implied, Value
from estimator.job.configurations import load_configurations
from estimator.takeoff.part_kinds import PartKind
from estimator.units import TRADE_SIZES

_NO_PLACE = frozenset({"extra", "unit", "container"})


@dataclass(slots=True)
class Fit:
    """How far a description fits a kind. used: places of the marks that told something."""

    kind: PartKind
    known: dict[str, str] = field(default_factory=dict)
    implied: list[Implied] = field(default_factory=list)
    ambiguities: list[str] = field(default_factory=list)
    used: set[int] = field(default_factory=set)
    unread: list[str] = field(default_factory=list)
    pack: Decimal | None = None

    @property
    def missing(self) -> tuple[str, ...]:
        """Attributes that are not known, in the order of the kind."""
        return tuple([name for name in self.kind.attributes if name not in self.known])


def fit(
    marks: Sequence[Mark], frame: Frame, kind: PartKind, pack_lengths: frozenset[str]
) -> Fit | None:
    """The description as a part of this kind; None when it does not name the kind.

    pack_lengths: feet that the goods are usually put up in, which need no unit.
    """
    told = _Told(marks, frame)
    if told.foreign:
        return None
    needs = [need for need in frame.needs if need <= told.all]
    if not needs:
        return None
    found = Fit(kind)
    spoken = set(told.besides).union(*needs)
    for attribute in kind.attributes:
        if attribute in frame.values:
            spoken |= _by_words(attribute, frame.values[attribute], told.all, found)
        if attribute not in found.known:
            _by_figures(attribute, frame.figures.get(attribute, ()), marks, found)
    _tell_two_sizes(marks, found)
    _check_amperes(marks, found)
    _use_words(told, spoken, marks, frame, found)
    if kind.unit == "ft":
        _pack_by_length(marks, pack_lengths, found)
    else:
        _pack_by_count(marks, found)
    _tell_unread(marks, told, found)
    return None if found.unread and frame.sure.isdisjoint(needs) else found


class _Told:
    """The concepts of a description that have a place in a frame, by the place of their mark.

    foreign: a word names goods that have no place in the frame.
    """

    def __init__(self, marks: Sequence[Mark], frame: Frame) -> None:
        self.by_mark: dict[int, Concepts] = {}
        self.neutral: set[int] = set()
        self.foreign = False
        present: set[str] = set()
        measures: set[str] = set()
        units_before: Concepts = frozenset()
        for place, mark in enumerate(marks):
            measures.update(mark.measures)
            self.units_before = units_before
            units_before = frozenset([figure.unit for figure in mark.figures])
            if mark.meanings and not self._place(place, mark, frame):
                return
            present.update(self.by_mark.get(place, ()))
        self.present = frozenset(present)
        self.all = self.present | measures
        self.besides = frame.besides

    def _place(self, place: int, mark: Mark, frame: Frame) -> bool:
        fitting = {
            meaning.concepts
            for meaning in mark.meanings
            if meaning.role in ("noun", "trait") and meaning.concepts <= frame.accepted
        }
        if len(fitting) > 1:
            # What tells of the part goes before what may stand besides.
            fitting = {concepts for concepts in fitting if not concepts <= frame.besides}
        roles = {meaning.role for meaning in mark.meanings}
        if "trait" in roles and not self.units_before & frame.units:
            # A word such as LB is a unit only after a figure that the kind can have.
            roles.discard("unit")
        if len(fitting) == 1:
            (self.by_mark[place],) = fitting
        elif not fitting and roles & _NO_PLACE:
            self.neutral.add(place)
        elif not fitting and "trait" not in roles:
            self.foreign = True
        return not self.foreign


def _by_words(attribute: str, values: Sequence[Value], concepts: Concepts, found: Fit) -> set[str]:
    """Set the attribute from the most telling words; the concepts that told of it."""
    told = [value for value in values if value.concepts <= concepts]
    best = [value for value in told if not any(value.concepts < other.concepts for other in told)]
    # The same words may tell what an attribute is not; then no other words settle it.
    names = sorted({value.value or "" for value in best}, key=lambda name: (not name, name))
    if len(names) > 1:
        told_apart = " or ".join([name or "none that our parts have" for name in names])
        found.ambiguities.append(f"{attribute} may be {told_apart}")
    elif names and names[0]:
        found.known[attribute] = names[0]
    elif names:
        words = ", ".join(sorted({word for value in best for word in value.concepts}))
        found.ambiguities.append(f"{attribute} is none that our parts have ({words})")
    return {concept for value in told for concept in value.concepts}


def _by_figures(attribute: str, forms: Sequence[str], marks: Sequence[Mark], found: Fit) -> None:
    candidates: dict[int, Found] = {}
    for place, mark in enumerate(marks):
        if mark.figures and not mark.packed:
            read = next((value for name in forms if (value := FORMS[name](mark))), None)
            if read is not None:
                candidates[place] = read
    sure = {place: read for place, read in candidates.items() if read.sure}
    chosen = sure or candidates
    values = {read.value for read in chosen.values()}
    if len(values) > 1:
        written = " or ".join(dict.fromkeys([read.value for read in chosen.values()]))
        found.ambiguities.append(f"{attribute} may be {written}")
        found.used.update(chosen)
    elif values:
        (found.known[attribute],) = values
        found.used.update(chosen)


def _tell_two_sizes(marks: Sequence[Mark], found: Fit) -> None:
    """Two sizes where the kind has one: "1/2X2" of a conduit body may be either."""
    if "trade_size" not in found.missing:
        return
    for place, mark in enumerate(marks):
        sizes = [figure.value for figure in mark.figures if figure.value in TRADE_SIZES]
        if len(mark.figures) == 2 and len(sizes) == 2 and place not in found.used:
            found.ambiguities.append(f"trade_size may be {' or '.join(sizes)}")
            found.used.add(place)


def _check_amperes(marks: Sequence[Mark], found: Fit) -> None:
    """A rating written beside a configuration has to be that configuration's."""
    amperes = {
        figure.value: place
        for place, mark in enumerate(marks)
        for figure in mark.figures
        if figure.unit == "ampere"
    }
    if not amperes:
        return
    rated = _rated_by_form()
    for attribute in [name for name in found.known if name in _FORM_ATTRIBUTES]:
        rating = rated.get(found.known[attribute])
        if rating is not None and set(amperes) != {rating}:
            written = " and ".join(f"{value} A" for value in amperes)
            found.ambiguities.append(
                f"{attribute} {found.known.pop(attribute)} is rated {rating} A, "
                f"yet {written} is written"
            )
        elif rating is not None:
            found.used.update(amperes.values())


_FORM_ATTRIBUTES = frozenset({"configuration", "plug", "connector"})


def _rated_by_form() -> Mapping[str, str]:
    return {
        name: str(row.amps)
        for row in load_configurations().values()
        for name in (row.configuration, row.plug, row.connector)
    }


def _use_words(
    told: _Told, spoken: set[str], marks: Sequence[Mark], frame: Frame, found: Fit
) -> None:
    for place, concepts in told.by_mark.items():
        if concepts <= spoken:
            found.used.add(place)
    for place, mark in enumerate(marks):
        if any(measure in spoken for measure in mark.measures):
            found.used.add(place)
        elif len(mark.figures) == 1 and mark.figures[0].unit in frame.besides:
            told.neutral.add(place)


def _pack_by_count(marks: Sequence[Mark], found: Fit) -> None:
    packs = {
        mark.figures[0].value: place
        for place, mark in enumerate(marks)
        if mark.packed and not mark.figures[0].unit
    }
    _set_pack(packs, found)


def _pack_by_length(marks: Sequence[Mark], pack_lengths: frozenset[str], found: Fit) -> None:
    packs: dict[str, int] = {}
    bare: dict[str, int] = {}
    for place, mark in enumerate(marks):
        if not mark.figures:
            continue
        last = mark.figures[-1]
        if last.shape != "whole" or (place in found.used and len(mark.figures) == 1):
            continue
        if last.unit == "foot" or (mark.packed and not last.unit):
            packs[last.value] = place
        elif not last.unit and last.value in pack_lengths:
            (packs if len(mark.figures) == 2 else bare)[last.value] = place
    _set_pack(packs or bare, found)


def _set_pack(packs: Mapping[str, int], found: Fit) -> None:
    found.used.update(packs.values())
    if len(packs) > 1:
        found.ambiguities.append(f"pack may be {' or '.join(packs)}")
    elif packs:
        found.pack = Decimal(next(iter(packs)))


def _tell_unread(marks: Sequence[Mark], told: _Told, found: Fit) -> None:
    for place, mark in enumerate(marks):
        if place not in found.used and place not in told.neutral:
            found.unread.append(mark.text)
