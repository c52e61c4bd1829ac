"""Texts that a spreadsheet would run as formulas, wherever they are shown or exported next."""

import re
from collections.abc import Iterator, Mapping

from estimator.catalogue.figures import shortened
from estimator.catalogue.header import Column
from estimator.catalogue.row_faults import ColumnFault

# The other columns hold figures, units, words or kinds that we know, or the row is refused.
_TEXTS: tuple[Column, ...] = ("item number", "supplier", "description", "replaced by")
STARTS = frozenset("=@+-")
# A sign or a minus may begin a text; with a call, a command or a sheet behind it it does not.
_FORMULA = re.compile(r"=|[@+-]\s*[\w.$']*\s*[(|!]")


def formula_faults(cell: Mapping[Column, str]) -> Iterator[ColumnFault]:
    """A fault for each text of a row that is a formula."""
    for column in _TEXTS:
        text = cell.get(column, "")
        if text[:1] in STARTS and _FORMULA.match(text):
            yield (
                column,
                f"{shortened(text)} is a formula, which a spreadsheet would run. Write the text "
                "that it stands for",
            )
