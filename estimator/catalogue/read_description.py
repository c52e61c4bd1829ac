"""Reading a cramped description: "3/4 EMT SET SCR CONN STL" as kind and attributes.

The order of words and figures does not matter. What is not written is not known, but for the
few values of lexicon/implied.csv that usual practice leaves out; those are named as implied,
and only where no word of the text was left unread. What can be read in two ways is reported
and left open. A word that turns the goods into something else, or takes back what others say,
makes it no part of ours.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from estimator.basis import Because, because
from estimator.catalogue.description_fit import Fit, fit
from estimator.catalogue.description_goods import free_places, not_ours
from estimator.catalogue.description_marks import Mark, marks_of
from estimator.catalogue.lexicon import Frame, Lexicon
from estimator.catalogue.reading import Reading
from estimator.published.sources import load_sources
from estimator.published.tables import package_text, read_table
from estimator.takeoff.part_kinds import PartKinds

LONGEST_DESCRIPTION = 200
_TABLE = "lexicon/pack_lengths.csv"


@dataclass(frozen=True, slots=True)
class PackLengthRow:
    """Feet that goods by length are put up in. sticks: joined end to end, such as conduit."""

    sticks: bool
    length_ft: str
    source: str


def read_description(text: str, lexicon: Lexicon, kinds: PartKinds) -> Reading:
    """What a description says of a part; never raises for its content.

    text: at most LONGEST_DESCRIPTION characters are read; a longer one is read as nothing.
    """
    if len(text) > LONGEST_DESCRIPTION:
        return _nothing((), (), (f"more than {LONGEST_DESCRIPTION} characters",))
    marked = marks_of(text, lexicon)
    marks = marked.marks
    corrected = tuple([mark.correction for mark in marks if mark.correction])
    why_not = not_ours(marks)
    if why_not:
        return _nothing(tuple(_unknown(marks)), corrected, (why_not,))
    fits = _best(_fits(marks, lexicon, kinds))
    if len(fits) != 1:
        names = " or ".join(each.kind.name for each in fits)
        why = (f"kind may be {names}",) if fits else ()
        unread = _unknown(marks) if fits else [mark.text for mark in marks]
        return _nothing(tuple(unread), corrected, (*why, *marked.unsure))
    return _reading(fits[0], lexicon.frames[fits[0].kind.name], marks, corrected, marked.unsure)


def _unknown(marks: Sequence[Mark]) -> list[str]:
    return [mark.text for mark in marks if not mark.meanings and not mark.figures]


def _nothing(
    unread: tuple[str, ...], corrected: tuple[str, ...], ambiguities: tuple[str, ...]
) -> Reading:
    return Reading(None, (), (), None, unread, ambiguities, (), corrected, ())


def _fits(marks: Sequence[Mark], lexicon: Lexicon, kinds: PartKinds) -> list[Fit]:
    told = _all_concepts(marks)
    likely = {kind for concept in told for kind in lexicon.leads.get(concept, ())}
    free = free_places(marks)
    found = []
    for name in sorted(likely):
        frame, kind = lexicon.frames[name], kinds.get(name)
        if kind is not None and any(need <= told for need in frame.needs):
            each = fit(marks, free, frame, kind, _lengths()[kind.stick])
            if each is not None:
                found.append(each)
    return found


def _all_concepts(marks: Sequence[Mark]) -> set[str]:
    told = {concept for mark in marks for meaning in mark.meanings for concept in meaning.concepts}
    return told.union(*(mark.measures for mark in marks))


def _best(fits: Sequence[Fit]) -> list[Fit]:
    """Those that explain more of the text than any other does."""
    return [one for one in fits if not any(one.used < other.used for other in fits)]


def _reading(
    found: Fit,
    frame: Frame,
    marks: Sequence[Mark],
    corrected: tuple[str, ...],
    unsure: tuple[str, ...],
) -> Reading:
    if not (found.unread_words or unsure):
        _suppose(found, frame, marks)
    kind = found.kind
    used = ", ".join(marks[place].text for place in sorted(found.used))
    reasons: list[Because] = [
        because(f"Read as {kind.name.replace('_', ' ')} from: {used}.", "common_practice")
    ]
    reasons += [because(row.why, row.source, value=row.value) for row in found.implied]
    return Reading(
        kind=kind.name,
        known=tuple((name, found.known[name]) for name in kind.attributes if name in found.known),
        missing=found.missing,
        pack=found.pack,
        unread=tuple(found.unread),
        ambiguities=(*found.ambiguities, *unsure),
        implied=tuple(row.attribute for row in found.implied),
        corrected=corrected,
        because=tuple(reasons),
    )


def _suppose(found: Fit, frame: Frame, marks: Sequence[Mark]) -> None:
    told = _all_concepts(marks) if frame.implied else set()
    for row in frame.implied:
        settled = found.doubted.isdisjoint({row.attribute, *row.concepts})
        if settled and row.attribute in found.missing and row.concepts <= told:
            found.known[row.attribute] = row.value
            found.implied.append(row)


@cache
def _lengths() -> Mapping[bool, frozenset[str]]:
    rows = read_table(
        package_text("estimator.catalogue", _TABLE),
        PackLengthRow,
        name=_TABLE,
        key=("sticks", "length_ft"),
        sources=load_sources(),
    )
    return {
        sticks: frozenset(row.length_ft for row in rows if row.sticks == sticks)
        for sticks in (True, False)
    }
