"""The lexicon of trade abbreviations, read once in a process from the tables in lexicon/."""

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import TypeVar

from estimator.catalogue.description_tokens import Token, tokens_of
from estimator.catalogue.lexicon_rows import (
    FORM_UNITS,
    ExtraRow,
    FigureRow,
    ImpliedRow,
    NeedRow,
    Role,
    ValueRow,
    WordRow,
)
from estimator.catalogue.near_words import NearWords
from estimator.published.sources import load_sources
from estimator.published.tables import package_text, read_table

Row = TypeVar("Row")
Concepts = frozenset[str]


@dataclass(frozen=True, slots=True)
class Meaning:
    """One meaning of a spelling."""

    role: Role
    concepts: Concepts


@dataclass(frozen=True, slots=True)
class Value:
    """A value of an attribute by the concepts that give it; None: none that our parts have."""

    concepts: Concepts
    value: str | None
    source: str


@dataclass(frozen=True, slots=True)
class Implied:
    """A value that is supposed where nothing is written."""

    attribute: str
    concepts: Concepts
    value: str
    why: str
    source: str


@dataclass(frozen=True, slots=True)
class Frame:
    """How one kind of part is described.

    needs: alternatives, each of which names the kind; those of ``sure`` do so even beside
    words that are not understood. values and figures: by attribute.
    besides: concepts, and units of figures, that may stand in such a description without
    telling an attribute. accepted: every concept that has a place in it. units: of the figures
    that it can have.
    """

    kind: str
    needs: tuple[Concepts, ...]
    sure: frozenset[Concepts]
    values: Mapping[str, tuple[Value, ...]]
    figures: Mapping[str, tuple[str, ...]]
    implied: tuple[Implied, ...]
    besides: Concepts
    accepted: Concepts
    units: Concepts


@dataclass(frozen=True, slots=True)
class Lexicon:
    """phrases: meanings by spelling, tokens joined as in ``spelling``. starts: first token of
    each phrase, with the tokens in the longest that begins with it. frames: by kind. leads:
    kinds that a concept may name, alone or with others. near: for spelling mistakes.
    """

    phrases: Mapping[str, tuple[Meaning, ...]]
    starts: Mapping[str, int]
    frames: Mapping[str, Frame]
    leads: Mapping[str, tuple[str, ...]]
    near: NearWords


def spelling(tokens: Sequence[Token]) -> str:
    """Tokens as one text, in which "SCH40" and "SCH 40" differ but "NM-B" and "NM B" do not."""
    return tokens[0].text + "".join([token.joint + token.text for token in tokens[1:]])


@cache
def load_lexicon() -> Lexicon:
    """The package's own lexicon."""
    phrases: dict[str, list[Meaning]] = defaultdict(list)
    starts: dict[str, int] = {}
    uses: dict[str, set[tuple[str, str, str]]] = defaultdict(set)
    for row in _rows("words", WordRow, ("written", "role", "meaning")):
        tokens = tokens_of(row.written)
        phrases[spelling(tokens)].append(Meaning(row.role, _concepts(row.meaning)))
        starts[tokens[0].text] = max(len(tokens), starts.get(tokens[0].text, 0))
        for place, token in enumerate(tokens):
            if token.shape == "word":
                rest = " ".join([each.text for each in tokens[:place] + tokens[place + 1 :]])
                uses[token.text].add((rest, row.role, row.meaning))
    found = {spelled: tuple(meanings) for spelled, meanings in phrases.items()}
    alike = {word: frozenset(told) for word, told in uses.items()}
    frames = _frames()
    return Lexicon(found, starts, frames, _leads(frames), NearWords(uses, alike))


def _frames() -> Mapping[str, Frame]:
    needs = _by_kind(_rows("needs", NeedRow, ("kind", "concepts")))
    values = _by_kind(_rows("values", ValueRow, ("kind", "attribute", "concepts")))
    figures = _by_kind(_rows("figures", FigureRow, ("kind", "attribute", "form")))
    extras = _by_kind(_rows("extras", ExtraRow, ("kind",)))
    implied = _by_kind(_rows("implied", ImpliedRow, ("kind", "attribute", "concepts")))
    return {
        kind: _frame(
            kind, rows, values[kind], figures[kind], extras[kind] + extras["*"], implied[kind]
        )
        for kind, rows in needs.items()
        if kind != "*"
    }


def _leads(frames: Mapping[str, Frame]) -> Mapping[str, tuple[str, ...]]:
    leads: dict[str, dict[str, None]] = defaultdict(dict)
    for kind, frame in frames.items():
        for need in frame.needs:
            leads[min(need)][kind] = None
    return {concept: tuple(kinds) for concept, kinds in leads.items()}


def _frame(
    kind: str,
    needs: Sequence[NeedRow],
    values: Sequence[ValueRow],
    figures: Sequence[FigureRow],
    extras: Sequence[ExtraRow],
    implied: Sequence[ImpliedRow],
) -> Frame:
    by_attribute: dict[str, list[Value]] = defaultdict(list)
    forms: dict[str, list[str]] = defaultdict(list)
    for value in values:
        by_attribute[value.attribute].append(
            Value(_concepts(value.concepts), value.value, value.source)
        )
    for figure in figures:
        forms[figure.attribute].append(figure.form)
    supposed = tuple(
        Implied(row.attribute, _concepts(row.concepts), row.value, row.why, row.source)
        for row in implied
    )
    besides = frozenset(concept for row in extras for concept in row.concepts.split())
    accepted = set(besides)
    accepted.update(*(_concepts(row.concepts) for row in needs))
    accepted.update(*(_concepts(row.concepts) for row in values))
    accepted.update(*(row.concepts for row in supposed))
    told = {figure.form for figure in figures}
    measures = {concept.partition(" ")[2] for concept in accepted if concept[0].isdigit()}
    return Frame(
        kind,
        tuple(_concepts(row.concepts) for row in needs),
        frozenset(_concepts(row.concepts) for row in needs if row.sure),
        {name: tuple(found) for name, found in by_attribute.items()},
        {name: tuple(found) for name, found in forms.items()},
        supposed,
        besides,
        frozenset(accepted),
        frozenset(measures.union(*({FORM_UNITS[form]} for form in told & FORM_UNITS.keys()))),
    )


def _concepts(text: str) -> Concepts:
    return frozenset(text.split(" + "))


def _by_kind(rows: Collection[Row]) -> Mapping[str, list[Row]]:
    found: dict[str, list[Row]] = defaultdict(list)
    for row in rows:
        found[row.kind].append(row)  # type: ignore[attr-defined]
    return found


def _rows(name: str, row_type: type[Row], key: tuple[str, ...]) -> tuple[Row, ...]:
    file = f"lexicon/{name}.csv"
    return read_table(
        package_text("estimator.catalogue", file),
        row_type,
        name=file,
        key=key,
        sources=load_sources(),
    )
