"""One description held against the frame of one kind of part."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from estimator.catalogue.description_figures import FORMS, Found
from estimator.catalogue.description_goods import Told
from estimator.catalogue.description_marks import Mark
from estimator.catalogue.lexicon import Concepts, Frame, Implied, Value
from estimator.catalogue.size_and_length import size_and_length, size_or_length
from estimator.job.configurations import load_configurations
from estimator.takeoff.part_kinds import PartKind
from estimator.units import TRADE_SIZES

_JOINTS = frozenset({"raceway_connector", "raceway_coupling"})
_SIZE, _LENGTH = "trade_size", "length_in"


@dataclass(slots=True)
class Fit:
    """How far a description fits a kind. used: places of the marks that told something.

    doubted: attributes of which the text says something that does not settle them, and the
    words that do so.
    """

    kind: PartKind
    known: dict[str, str] = field(default_factory=dict)
    implied: list[Implied] = field(default_factory=list)
    ambiguities: list[str] = field(default_factory=list)
    doubted: set[str] = field(default_factory=set)
    used: set[int] = field(default_factory=set)
    unread: list[str] = field(default_factory=list)
    unread_words: bool = False
    pack: Decimal | None = None

    @property
    def missing(self) -> tuple[str, ...]:
        """Attributes that are not known, in the order of the kind."""
        return tuple([name for name in self.kind.attributes if name not in self.known])

    def doubt(self, attribute: str, why: str) -> None:
        """Leave an attribute open that can be read in several ways."""
        self.doubted.add(attribute)
        self.ambiguities.append(f"{attribute} {why}")


def fit(
    marks: Sequence[Mark],
    free: frozenset[int],
    frame: Frame,
    kind: PartKind,
    pack_lengths: frozenset[str],
) -> Fit | None:
    """The description as a part of this kind; None when it does not name the kind.

    free: places of the words that can name the goods.
    pack_lengths: feet that the goods are usually put up in, which need no unit.
    """
    told = Told(marks, frame)
    if told.foreign:
        return None
    needs = [need for need in frame.needs if need <= told.all]
    # "BREAKER" names it; "BREAKER, LOAD CENTRE" only makes that surer.
    naming = [need for need in needs if not any(other < need for other in needs)]
    if not told.names(naming, free) or told.renamed(naming, marks):
        return None
    found = Fit(kind)
    spoken = set(frame.besides).union(*needs)
    if _SIZE in kind.attributes and _LENGTH in kind.attributes:
        told_length = any(value.concepts <= told.all for value in frame.values.get(_LENGTH, ()))
        _size_and_length(marks, told_length, found)
    for attribute in kind.attributes:
        if attribute in frame.values:
            spoken |= _by_words(attribute, frame.values[attribute], told.all, found)
        if attribute not in found.known and attribute not in found.doubted:
            _by_figures(attribute, frame.figures.get(attribute, ()), marks, found)
    if kind.name in _JOINTS and "raceway" in found.doubted and len(_raceways(frame, told)) > 1:
        return None
    _tell_two_sizes(marks, found)
    _check_amperes(marks, found)
    _use_words(told, spoken, marks, frame, found)
    if kind.unit == "ft":
        _pack_by_length(marks, pack_lengths, found)
    else:
        _pack_by_count(marks, found)
    _tell_unread(marks, told, found)
    if told.nouns - found.used:
        # It names goods that the kind does not account for.
        return None
    return None if found.unread and frame.sure.isdisjoint(needs) else found


def _raceways(frame: Frame, told: Told) -> set[str]:
    """The raceways that are named: a joint of two kinds is none of our parts."""
    named = [value for value in frame.values["raceway"] if value.concepts <= told.all]
    return {value.value for value in named if value.value and len(value.concepts) == 1}


def _by_words(attribute: str, values: Sequence[Value], concepts: Concepts, found: Fit) -> set[str]:
    """Set the attribute from the most telling words; the concepts that told of it."""
    told = [value for value in values if value.concepts <= concepts]
    best = [value for value in told if not any(value.concepts < other.concepts for other in told)]
    # The same words may tell what an attribute is not; then no other words settle it.
    names = sorted({value.value or "" for value in best}, key=lambda name: (not name, name))
    if len(names) > 1:
        found.doubted.update(*[value.concepts for value in best])
        told_apart = " or ".join([name or "none that our parts have" for name in names])
        found.doubt(attribute, f"may be {told_apart}")
    elif names and names[0]:
        found.known[attribute] = names[0]
    elif names:
        words = ", ".join(sorted({word for value in best for word in value.concepts}))
        found.doubt(attribute, f"is none that our parts have ({words})")
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
        found.doubt(attribute, f"may be {written}")
        found.used.update(chosen)
    elif values:
        (found.known[attribute],) = values
        found.used.update(chosen)


def _size_and_length(marks: Sequence[Mark], told_length: bool, found: Fit) -> None:
    """Set both where the text tells them apart, else leave open what may be either.

    told_length: words tell of the length, such as CLOSE, so that inches are the trade size.
    """
    both = None if told_length else size_and_length(marks)
    if both is not None:
        found.known[_SIZE], found.known[_LENGTH] = [marks[at].figures[0].value for at in both]
        found.used.update(both)
    elif not told_length and (either := size_or_length(marks)):
        written = " or ".join([marks[at].figures[0].value for at in either])
        found.doubt(_SIZE, f"may be {written}, and so may the length")
        found.doubted.add(_LENGTH)
        found.used.update(either)


def _tell_two_sizes(marks: Sequence[Mark], found: Fit) -> None:
    """Two sizes where the kind has one: "1/2X2" of a conduit body may be either."""
    if "trade_size" not in found.missing:
        return
    for place, mark in enumerate(marks):
        sizes = [figure.value for figure in mark.figures if figure.value in TRADE_SIZES]
        if len(mark.figures) == 2 and len(sizes) == 2 and place not in found.used:
            found.doubt("trade_size", f"may be {' or '.join(sizes)}")
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
            value = found.known.pop(attribute)
            found.doubt(attribute, f"{value} is rated {rating} A, yet {written} is written")
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
    told: Told, spoken: set[str], marks: Sequence[Mark], frame: Frame, found: Fit
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
        place: mark.figures[0].value
        for place, mark in enumerate(marks)
        if mark.packed and not mark.figures[0].unit
    }
    _set_pack(packs, found)


def _pack_by_length(marks: Sequence[Mark], pack_lengths: frozenset[str], found: Fit) -> None:
    packs: dict[int, str] = {}
    bare: dict[int, str] = {}
    for place, mark in enumerate(marks):
        if not mark.figures:
            continue
        last = mark.figures[-1]
        if last.shape != "whole" or (place in found.used and len(mark.figures) == 1):
            continue
        if last.unit == "foot" or (mark.packed and not last.unit):
            packs[place] = last.value
        elif not last.sure_unit and last.value in pack_lengths:
            (packs if len(mark.figures) == 2 else bare)[place] = last.value
    _set_pack(packs or bare, found)


def _set_pack(packs: Mapping[int, str], found: Fit) -> None:
    """Take the pack at its place; written twice, it may be two of them that are sold."""
    found.used.update(packs)
    if len(packs) > 1:
        found.doubt("pack", f"may be {' or '.join(packs.values())}")
    elif packs:
        pack = Decimal(next(iter(packs.values())))
        if pack:
            found.pack = pack
        else:
            found.doubt("pack", "cannot be 0")


def _tell_unread(marks: Sequence[Mark], told: Told, found: Fit) -> None:
    for place, mark in enumerate(marks):
        if place not in found.used and place not in told.neutral:
            found.unread.append(mark.text)
            found.unread_words |= not mark.figures
