"""Filling the SVG templates, and breaking words into the lines that a picture has room for."""

import textwrap
from functools import cache

from jinja2 import Environment, PackageLoader, StrictUndefined

from estimator.documents.pictures.plain_text import printable


def draw(template: str, **figures: object) -> str:
    """An SVG document from a template of this room; all words are escaped."""
    return _environment().get_template(template).render(**figures)


def lines_of(text: str, columns: int) -> tuple[str, ...]:
    """The text in lines of at most so many characters; at least one line.

    A word that is longer than a line is broken.
    """
    return tuple(textwrap.wrap(printable(text), columns)) or ("",)


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("estimator.documents.pictures", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["printable"] = printable
    return environment
