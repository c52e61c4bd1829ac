"""A form whose sign-in had ended when it was sent: held through the sign-in, then sent again."""

import json
from collections.abc import Sequence
from dataclasses import dataclass

from flask import request

from estimator.web.csrf import FIELD
from estimator.web.next_page import next_page

_NEVER = (FIELD, "password", "held", "held_for")
# What a page of ours sends at most, far from what a server takes.
_MOST_LETTERS = 60_000


@dataclass(frozen=True, slots=True)
class HeldForm:
    """Where a form goes, and its fields in order; without secrets of the ended sign-in."""

    path: str
    fields: Sequence[tuple[str, str]]

    @property
    def text(self) -> str:
        """The fields as one text, for a hidden field."""
        return json.dumps(self.fields)


def form_to_hold() -> HeldForm | None:
    """The form of this request to a page, unless it has a file or is very long."""
    if request.method != "POST" or request.files:
        return None
    return _held(request.full_path.rstrip("?"), list(request.form.items(multi=True)))


def held_form() -> HeldForm | None:
    """The form that the sign-in page carries along; None where there is none of ours."""
    path = request.form.get("held_for", "")
    try:
        fields = json.loads(request.form.get("held", "")[:_MOST_LETTERS])
        pairs = [(str(name), str(value)) for name, value in fields]
    except (ValueError, TypeError):
        return None
    return _held(path, pairs) if path and next_page(path) == path else None


def _held(path: str, fields: list[tuple[str, str]]) -> HeldForm | None:
    kept = [(name, value) for name, value in fields if name not in _NEVER]
    letters = sum(len(name) + len(value) for name, value in kept)
    return HeldForm(path, kept) if kept and letters < _MOST_LETTERS // 2 else None
