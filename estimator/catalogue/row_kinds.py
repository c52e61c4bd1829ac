"""Which rows of a table are items, and which are titles, sums, repeats of the head or blank."""

from collections.abc import Mapping, Sequence

from estimator.catalogue.columns.head_row import Head
from estimator.catalogue.files.cell_text import error_of
from estimator.catalogue.header import PRICES, Column
from estimator.catalogue.row_words import sum_of

BLANK = "blank"
_ODD_STARTS = frozenset("#='")
_MONTHS = frozenset(
    {"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"}
)


class RowKinds:
    """Tells the rows of one table apart. Most are plain items, told by three of their cells."""

    def __init__(self, place: Mapping[Column, int], head: Head) -> None:
        self._number = place.get("item number", 0)
        self._price = next(place[column] for column in PRICES if column in place)
        self._per = place.get("per", self._number)
        texts = {self._number, place.get("description")}
        self._figures = {at for at in place.values() if at not in texts}
        self._has_unit = "per" in place
        heads = [_folded(cells) for cells in (*head.rows, head.cells)]
        width = max(map(len, heads), default=0)
        self._heads = [{cells[at] for cells in heads if at < len(cells)} for at in range(width)]
        at = self._number
        self._head_numbers = self._heads[at] if at < width else set[str]()

    def is_plain(self, cells: Sequence[str]) -> bool:
        """Whether a row is an item without anything odd about it, so that it can be read as is."""
        try:
            number = cells[self._number]
            plain = number and cells[self._price] and cells[self._per]
        except IndexError:
            return False
        return bool(
            plain
            and number[0] not in _ODD_STARTS
            and number[-3:] not in _MONTHS
            and number[:3] not in _MONTHS
            and number.casefold() not in self._head_numbers
            and cells[self._price][0] != "#"
            and (self._has_unit or sum_of(number) is None)
        )

    def why_passed_over(self, cells: Sequence[str]) -> str:
        """Why a row that is not plain is no item; blank when it is to be read as one."""
        texts = _texts(cells)
        filled = [text for text in texts if text]
        if not filled:
            return BLANK
        if self._is_head(texts):
            return "a repeat of the head"
        meaning = self._sum(texts)
        if meaning:
            return f"a {meaning}"
        if len(set(filled)) == 1 and self._is_title(texts, filled[0]):
            return "a title or note"
        return ""

    def _is_head(self, texts: list[str]) -> bool:
        """Printed lists repeat the head on every page, one of two rows or both in one."""
        at = self._number
        if at >= len(texts) or texts[at].casefold() not in self._head_numbers:
            return False
        filled = [(at, text) for at, text in enumerate(_folded(texts)) if text]
        alike = sum(at < len(self._heads) and text in self._heads[at] for at, text in filled)
        return alike >= 2 and 3 * alike >= 2 * len(filled)

    def _sum(self, texts: Sequence[str]) -> str | None:
        """Sums have no unit, and no item number but their own word."""
        if self._has_unit and self._per < len(texts) and texts[self._per]:
            return None
        number = texts[self._number] if self._number < len(texts) else ""
        if number:
            return sum_of(number)
        return next((found for text in texts if text and (found := sum_of(text))), None)

    def _is_title(self, texts: Sequence[str], text: str) -> bool:
        """A single text is a title unless it stands where figures do, or is an item number."""
        filled = {at for at, each in enumerate(texts) if each}
        if filled & self._figures:
            return False
        if self._number not in filled:
            return True
        return " " in text or not any(sign.isdigit() for sign in text)


def odd_number(number: str) -> str:
    """What is wrong with an item number that a spreadsheet changed; blank for any other."""
    text = number.strip()
    error = error_of(text)
    if error:
        return error
    first, dash, last = text.partition("-")
    months = (first in _MONTHS) + (last in _MONTHS)
    if dash and months == 1 and (first.isdigit() or last.isdigit()):
        return (
            f"{text!r} was made a date by a spreadsheet. Format the column as text and write the "
            "item number again"
        )
    return ""


def plain_cells(cells: Sequence[str]) -> list[str]:
    """Cells without what keeps a spreadsheet from changing them: ="0123" and '0123."""
    return [_plain(cell) if cell[:1] in ("=", "'") else cell for cell in cells]


def _plain(cell: str) -> str:
    if cell.startswith('="') and cell.endswith('"') and '"' not in cell[2:-1]:
        return cell[2:-1]
    if cell.startswith("'") and cell.count("'") == 1 and cell[1:2].isalnum():
        return cell[1:]
    return cell


def _folded(cells: Sequence[str]) -> list[str]:
    return [cell.strip().casefold() for cell in cells]


def _texts(cells: Sequence[str]) -> list[str]:
    return [cell.strip() for cell in cells]
