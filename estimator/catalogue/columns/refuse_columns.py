"""What is told where a table cannot be read for want of columns."""

from collections.abc import Sequence

from estimator.catalogue.columns.head_row import SEARCHED_ROWS
from estimator.catalogue.columns.mapping import ColumnMapping
from estimator.catalogue.columns.settle_columns import TwiceNamed
from estimator.catalogue.files.refusal import refuse
from estimator.catalogue.header import REQUIRED, Column
from estimator.finding import InputRefused

_MAPPING = "a mapping (see `estimator catalogue columns`)"


def refuse_twice(error: TwiceNamed, name: str, where: str) -> InputRefused:
    """The refusal of a table that names a column twice."""
    return refuse(
        name,
        f"column {error.column} stands twice, in {' and '.join(error.letters)}. Keep the one that "
        f"counts and rename the other, or say which it is in {_MAPPING}",
        where,
    )


def refuse_missing(
    mapping: ColumnMapping | None, missing: Sequence[Column], name: str, where: str = ""
) -> InputRefused:
    """The refusal of a list without needed columns, with what its cells look like."""
    proposed = [each for each in mapping.columns if each.proposed] if mapping else []
    if mapping is not None and proposed:
        told = "; ".join(
            f"column {each.letter} ({each.head.strip() or 'no head'}: "
            f"{', '.join(each.examples)}) looks like {each.proposed}"
            for each in proposed
        )
        return refuse(
            name,
            f"no column is named {', '.join(missing)}, but {told}. If that is right, say so in "
            f"{_MAPPING}, or name the column in the head row",
            where,
        )
    text = (
        f"no head row in the first {SEARCHED_ROWS} rows. One row must name the columns "
        f"{', '.join(REQUIRED)} (comma, semicolon, tab or | between them, or cells of a sheet); "
        "description may stand in place of kind and attributes"
    )
    if mapping is not None and len(mapping.place) > 1:
        nearest = (
            f"Row {mapping.head_row} comes nearest; it lacks" if mapping.head_row else "Missing:"
        )
        text += f". {nearest} {', '.join(missing)}"
    return refuse(name, text + f". Or say in {_MAPPING} what the columns hold", where)
