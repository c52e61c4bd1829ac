"""What each word and figure of a description can mean, before a kind of part is known."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from estimator.catalogue.description_tokens import Shape, Token, tokens_of
from estimator.catalogue.lexicon import Lexicon, Meaning, spelling

_BETWEEN = ("X", "BY", "TO")
_KNOCKOUT = ("KO", "KNOCKOUT")
_NUMBERS: tuple[Shape, ...] = ("whole", "fraction", "decimal")
_MOST_IN_A_SPLICE = 6


@dataclass(frozen=True, slots=True)
class Figure:
    """A number with its form. unit: a concept of the lexicon, blank where none is written.

    loose: the word taken for the unit has other meanings too, such as LB.
    """

    value: str
    shape: Shape
    unit: str = ""
    loose: bool = False

    @property
    def sure_unit(self) -> str:
        """The unit, when its word can be nothing else."""
        return "" if self.loose else self.unit

    @property
    def measure(self) -> str:
        """Value and unit as one concept."""
        return f"{self.value} {self.unit or 'bare'}"


@dataclass(frozen=True)
class Mark:
    """A stretch of the text that is read as one.

    meanings: of a word; empty for figures and for words that are not known. figures: one, or
    several that stand as a measure of two or three sides. packed: the figure is a pack's
    content. correction: the word that it was taken for.
    """

    text: str
    meanings: tuple[Meaning, ...] = ()
    figures: tuple[Figure, ...] = ()
    packed: bool = False
    correction: str = ""

    @cached_property
    def measures(self) -> tuple[str, ...]:
        """The figures as concepts: "1/4 pint" and "any pint", "90 bare", "three sides"."""
        if len(self.figures) == 3:
            return ("three sides",)
        return tuple(
            [
                measure
                for figure in self.figures
                for measure in (figure.measure, f"any {figure.unit or figure.shape}")
            ]
        )

    @property
    def goods(self) -> bool:
        """Whether it is a word that names goods or tells of them."""
        return any(meaning.role in ("noun", "trait") for meaning in self.meanings)

    def tells(self, concept: str) -> bool:
        """Whether it is a word of the sentence, such as FOR or WITH, with just this meaning."""
        if len(self.meanings) != 1 or self.meanings[0].role != "extra":
            return False
        return concept in self.meanings[0].concepts


@dataclass(frozen=True, slots=True)
class Marked:
    """The marks of a text, and words that are a slip away from several known words."""

    marks: tuple[Mark, ...]
    unsure: tuple[str, ...]


def marks_of(text: str, lexicon: Lexicon) -> Marked:
    """Words by the longest spelling that the lexicon knows, figures with units and packs."""
    tokens, corrections, unsure = _corrected(tokens_of(text), lexicon)
    marker = _Marker(tokens, corrections, lexicon)
    return Marked(tuple(marker.run()), unsure)


def _corrected(
    tokens: list[Token], lexicon: Lexicon
) -> tuple[list[Token], dict[int, str], tuple[str, ...]]:
    corrections: dict[int, str] = {}
    unsure: list[str] = []
    near = lexicon.near
    for place, token in enumerate(tokens):
        if token.shape != "word" or token.text in near:
            continue
        candidates = near.nearest(token.text)
        if len(candidates) == 1:
            corrections[place] = token.text
            tokens[place] = Token(candidates[0], "word", token.joint)
        elif candidates:
            unsure.append(f"{token.text} may be {' or '.join(candidates)}")
    return tokens, corrections, tuple(unsure)


class _Marker:
    def __init__(
        self, tokens: Sequence[Token], corrections: dict[int, str], lexicon: Lexicon
    ) -> None:
        self.tokens = tokens
        self.corrections = corrections
        self.lexicon = lexicon
        self.place = 0
        # Phrase and its end by the place of its first token.
        self.phrases = [self._phrase(place) for place in range(len(tokens))]

    def run(self) -> list[Mark]:
        marks: list[Mark] = []
        while self.place < len(self.tokens):
            mark = self._container() or self._word() or self._figures()
            marks.append(mark)
        return marks

    def _phrase(self, place: int) -> tuple[tuple[Meaning, ...], int] | None:
        longest = self.lexicon.starts.get(self.tokens[place].text, 0)
        for end in range(min(place + longest, len(self.tokens)), place, -1):
            meanings = self.lexicon.phrases.get(spelling(self.tokens[place:end]))
            if meanings is not None:
                return meanings, end
        return None

    def _has_role(self, place: int, role: str) -> bool:
        if place >= len(self.tokens):
            return False
        phrase = self.phrases[place]
        return phrase is not None and any(meaning.role == role for meaning in phrase[0])

    def _end(self, place: int) -> int:
        phrase = self.phrases[place]
        return place + 1 if phrase is None else phrase[1]

    def _text(self, start: int, end: int) -> str:
        words = [
            self.corrections.get(place, self.tokens[place].text) for place in range(start, end)
        ]
        return " ".join(words)

    def _whole(self, place: int) -> bool:
        return (
            place < len(self.tokens)
            and self.tokens[place].shape == "whole"
            and self.phrases[place] is None
        )

    def _container(self) -> Mark | None:
        """A pack's content: "100 PER BX", "BX 100", "BOX OF 100", "500 FT REEL"."""
        start = self.place
        if self._whole(start):
            return self._number_then_container(start)
        if not self._has_role(start, "container"):
            return None
        end = self._end(start)
        if end < len(self.tokens) and self.tokens[end].text == "OF":
            end += 1
        if not self._whole(end) or self._is_side(end) or self._has_role(end + 1, "unit"):
            return None
        self.place = end + 1
        return self._packed(start, end, "")

    def _number_then_container(self, start: int) -> Mark | None:
        if self._is_side(start):
            return None
        end, unit = start + 1, ""
        if self._has_role(end, "unit"):
            unit, end = self._unit(end, "whole"), self._end(end)
            if unit != "foot":
                return None
        per = end < len(self.tokens) and self.tokens[end].text == "PER"
        end += per
        if not self._has_role(end, "container"):
            return None
        after = self._end(end)
        last = after + 1 == len(self.tokens)
        # "LOCKNUT 1 BX 100": the number after the word is the content.
        if not per and not unit and self._whole(after) and last:
            return None
        self.place = after
        return Mark(
            self._text(start, after),
            figures=(Figure(self.tokens[start].text, "whole", unit),),
            packed=True,
        )

    def _packed(self, start: int, number: int, unit: str) -> Mark:
        figure = Figure(self.tokens[number].text, "whole", unit)
        return Mark(self._text(start, number + 1), figures=(figure,), packed=True)

    def _is_side(self, place: int) -> bool:
        """Whether a figure is one side of a measure such as 6 X 6 X 4."""
        beside = [place - 1, place + 1]
        return any(
            0 <= each < len(self.tokens) and self.tokens[each].text in ("X", "BY")
            for each in beside
        )

    def _word(self) -> Mark | None:
        start = self.place
        phrase = self.phrases[start]
        if phrase is None:
            if self.tokens[start].shape != "word":
                return None
            self.place += 1
            return Mark(self._text(start, start + 1))
        meanings, self.place = phrase
        changed = [
            f"{self.corrections[place]} -> {self.tokens[place].text}"
            for place in range(start, self.place)
            if place in self.corrections
        ]
        return Mark(self._text(start, self.place), meanings, correction=", ".join(changed))

    def _figures(self) -> Mark:
        """One figure with its unit, or the sides of a measure."""
        start = self.place
        figures = [self._figure()]
        while self._another_side(figures):
            figures.append(self._figure())
        return Mark(self._text(start, self.place), figures=tuple(figures))

    def _another_side(self, figures: list[Figure]) -> bool:
        """Whether a further side follows; steps over the sign between."""
        place = self.place
        if place >= len(self.tokens) or len(figures) == 3:
            return False
        if self.tokens[place].text in _KNOCKOUT and place + 1 < len(self.tokens):
            # "1 KNOCKOUT TO 3/4"
            place += self.tokens[place + 1].text == "TO"
        token = self.tokens[place]
        if token.text in _BETWEEN and self._starts_figure(place + 1):
            self.place = place + 1
            return True
        # "2 #12" is two wires of 12 AWG.
        first = figures[0]
        return (
            token.shape == "gauge"
            and len(figures) == 1
            and first.shape == "whole"
            and not first.unit
            and 2 <= int(first.value) <= _MOST_IN_A_SPLICE
        )

    def _starts_figure(self, place: int) -> bool:
        return (
            place < len(self.tokens)
            and self.tokens[place].shape in (*_NUMBERS, "gauge", "conductors")
            and self.phrases[place] is None
        )

    def _figure(self) -> Figure:
        token = self.tokens[self.place]
        self.place += 1
        if token.shape not in (*_NUMBERS, "aught"):
            return Figure(token.text, token.shape)
        if not self._has_role(self.place, "unit"):
            return Figure(token.text, token.shape, self._unknown_unit())
        unit = self._unit(self.place, token.shape)
        phrase = self.phrases[self.place]
        assert phrase is not None  # it has the role of a unit
        loose = any(meaning.role != "unit" for meaning in phrase[0])
        # A word such as LB is pound or a shape; it stays as a word of its own too.
        if not loose:
            self.place = phrase[1]
        return Figure(token.text, token.shape, unit, loose)

    def _unknown_unit(self) -> str:
        """Letters nobody knows right behind a figure: "500KCX" is neither size nor pack.

        They stay as a word of their own, which was not understood.
        """
        if self.place == len(self.tokens) or self.phrases[self.place] is not None:
            return ""
        token = self.tokens[self.place]
        return token.text if token.shape == "word" and token.joint == "~" else ""

    def _unit(self, place: int, shape: Shape) -> str:
        phrase = self.phrases[place]
        assert phrase is not None  # it has the role of a unit
        units = [concept for m in phrase[0] if m.role == "unit" for concept in m.concepts]
        # "90D" is an angle, "2-1/8D" a depth: nobody bends to fractions of a degree.
        return units[-1] if shape == "fraction" else units[0]
