"""Words that not everybody knows, each explained where it stands."""

import re
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache

from estimator.published.tables import package_text

_FILE = "words.toml"
# One letter stands for a unit everywhere, and is explained on the page of words alone.
_SHORTEST = 2


@dataclass(frozen=True, slots=True)
class Word:
    """A word and what it means. forms: how else it is written."""

    word: str
    means: str
    forms: tuple[str, ...] = ()


@cache
def load_words() -> tuple[Word, ...]:
    """Every word, in the order of the alphabet."""
    rows = tomllib.loads(package_text("estimator.web.pages", _FILE))["word"]
    words = [Word(row["word"], row["means"], tuple(row.get("forms", ()))) for row in rows]
    return tuple(sorted(words, key=lambda one: one.word.casefold()))


def words_in(texts: Iterable[str]) -> tuple[Word, ...]:
    """The words that occur in texts, in the order of the alphabet."""
    found = {word for text in dict.fromkeys(texts) for word in _words_of(text)}
    return tuple(word for word in load_words() if word.word in found)


# Labels, reasons and remedies are much the same on every page.
@lru_cache(maxsize=4096)
def _words_of(text: str) -> frozenset[str]:
    pattern, owners = _finder()
    return frozenset(owners[_key(hit)] for hit in pattern.findall(text))


@cache
def _finder() -> tuple[re.Pattern[str], Mapping[str, str]]:
    owners = {
        _key(form): one.word
        for one in load_words()
        for form in (one.word, *one.forms)
        if len(form) >= _SHORTEST
    }
    # Long forms first: "transfer switch" is not "switch".
    forms = sorted(owners, key=len, reverse=True)
    spelled = "|".join(re.escape(form) for form in forms)
    return re.compile(rf"(?<![\w/-])({spelled})(?:e?s)?(?![\w/-])", re.IGNORECASE), owners


def _key(form: str) -> str:
    return form.casefold()
