"""One sheet being written: cells by row and column, formulas beside their values."""

from collections.abc import Sequence
from decimal import Decimal
from math import ceil

from openpyxl.utils import get_column_letter, quote_sheetname
from openpyxl.workbook import Workbook
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.header_footer import HeaderFooterItem, _HeaderFooterPart
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.worksheet.worksheet import Worksheet

from estimator.documents.cached_values import CellValue
from estimator.documents.cell_text import cell_text, looks_like_a_command
from estimator.documents.workbook_styles import Style

LINE_HEIGHT_PT = 13.5
TALLEST_ROW_PT = 400.0
LETTER_PAPER = 1
# Letters are narrower than the digits that widths are counted in, but words break early.
_LETTERS_TO_WIDTH = 1.18
_LOST_TO_BREAKS = 1
_HEIGHT_OF_STYLE: dict[Style, float] = {"Sheet title": 24, "Section": 19, "Grand label": 20}
_ONE_LINE: frozenset[Style] = frozenset(
    {"Sheet title", "Section", "Label", "Hint", "Danger", "Warning", "Notice", "Input choice"}
)


class Page:
    """A sheet with its column widths, filled from the top down.

    row: the next free row. widths: of the columns from A, in characters. Values of formulas
    are registered in ``values``, which all pages of a workbook share.
    """

    def __init__(
        self,
        workbook: Workbook,
        title: str,
        widths: Sequence[int],
        values: dict[tuple[str, str], CellValue],
    ) -> None:
        self.workbook = workbook
        self.sheet: Worksheet = workbook.create_sheet(title)
        self.title = title
        self.widths = tuple(widths)
        self.values = values
        self.row = 1
        self._heights: dict[int, float] = {}
        for column, width in enumerate(widths, start=1):
            self.sheet.column_dimensions[get_column_letter(column)].width = width

    def text(self, column: int, text: str, style: Style = "Text", *, row: int = 0) -> None:
        """Write text that no program may run, however it begins."""
        self._put(row or self.row, column, text, style)
        self._make_room(row or self.row, text, self.widths[column - 1], style)

    def _put(self, row: int, column: int, text: str, style: Style) -> None:
        cell = self.sheet.cell(row, column)
        clean = cell_text(text)
        cell.value = clean
        # Assigning "=1+1" made it a formula, and "#N/A" an error; both are only text here.
        cell.data_type = "s"
        cell.style = style
        if looks_like_a_command(clean):
            cell.quotePrefix = True

    def number(
        self, column: int, value: Decimal | int | None, style: Style, *, row: int = 0
    ) -> str:
        """Write a number, or leave the cell empty in its style; returns the cell's name."""
        cell = self.sheet.cell(row or self.row, column)
        if value is not None:
            cell.value = value
        cell.style = style
        return str(cell.coordinate)

    def formula(
        self, column: int, formula: str, value: CellValue, style: Style, *, row: int = 0
    ) -> str:
        """Write a formula ("=...", never made of user text) with its value; returns its cell."""
        cell = self.sheet.cell(row or self.row, column)
        cell.value = formula
        cell.style = style
        self.values[self.title, cell.coordinate] = value
        if isinstance(value, str):
            self._make_room(row or self.row, value, self.widths[column - 1], style)
        return str(cell.coordinate)

    def row_of_text(self, texts: Sequence[str], style: Style = "Text") -> None:
        """Write texts from column A on and go to the next row."""
        for column, text in enumerate(texts, start=1):
            self.text(column, text, style)
        self.row += 1

    def head(self, titles: Sequence[str]) -> int:
        """Write the head of a table; returns its row."""
        self.row_of_text(titles, "Column head")
        return self.row - 1

    def heading(self, text: str, style: Style = "Section") -> None:
        """Write a heading underlined over the whole width, and go to the next row."""
        if style == "Section":
            for column in range(2, len(self.widths) + 1):
                self.sheet.cell(self.row, column).style = style
        self.text(1, text, style)
        self.row += 1

    def paragraph(
        self, text: str, style: Style = "Muted", *, first: int = 1, last: int = 0
    ) -> None:
        """Write text over several columns, in a row as high as the text needs."""
        last = last or len(self.widths)
        for column in range(first + 1, last + 1):
            self.sheet.cell(self.row, column).style = style
        self._put(self.row, first, text, style)
        # Adding the range alone keeps the styles set above and takes a tenth of the time.
        start, end = get_column_letter(first), get_column_letter(last)
        self.sheet.merged_cells.add(f"{start}{self.row}:{end}{self.row}")
        self._make_room(self.row, text, sum(self.widths[first - 1 : last]), style)
        self.row += 1

    def _make_room(self, row: int, text: str, width: int, style: Style) -> None:
        """Make a row high enough for a text: programs differ in whether they do it themselves."""
        lines = 1
        if style not in _ONE_LINE:
            letters = width * _LETTERS_TO_WIDTH - _LOST_TO_BREAKS
            lines = sum(max(1, ceil(len(line) / letters)) for line in text.split("\n"))
        height = max(_HEIGHT_OF_STYLE.get(style, 0), LINE_HEIGHT_PT * lines + 2)
        self._heights[row] = min(max(self._heights.get(row, 0), height), TALLEST_ROW_PT)

    def gap(self) -> None:
        """Leave one row free."""
        self.row += 1

    def name(self, name: str, cell: str) -> None:
        """Give a cell a name that formulas and people can use."""
        self.workbook.defined_names[name] = DefinedName(name, attr_text=self.absolute(cell))

    def absolute(self, cell: str) -> str:
        """A reference to a cell or range of this sheet, usable from every sheet."""
        fixed = ":".join(f"${_letters(part)}${_digits(part)}" for part in cell.split(":"))
        return f"{quote_sheetname(self.title) if ' ' in self.title else self.title}!{fixed}"

    def finish(self, *, head_row: int = 0, landscape: bool = True) -> None:
        """Set the print layout, freeze the table's head and lock what is not an input."""
        sheet = self.sheet
        for row, height in self._heights.items():
            sheet.row_dimensions[row].height = height
        sheet.page_setup.orientation = "landscape" if landscape else "portrait"
        sheet.page_setup.paperSize = LETTER_PAPER
        sheet.page_setup.fitToWidth = 1
        sheet.page_setup.fitToHeight = 0
        sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
        sheet.print_area = f"A1:{get_column_letter(len(self.widths))}{max(self.row - 1, 1)}"
        sheet.page_margins.left = sheet.page_margins.right = 0.5
        sheet.page_margins.top = 0.6
        sheet.page_margins.bottom = 0.8
        sheet.page_margins.footer = 0.4
        sheet.HeaderFooter.oddFooter = HeaderFooterItem(
            left=_HeaderFooterPart(text="&A"), right=_HeaderFooterPart(text="Page &P of &N")
        )
        sheet.sheet_view.showGridLines = False
        if head_row:
            sheet.freeze_panes = f"A{head_row + 1}"
            sheet.print_title_rows = f"{head_row}:{head_row}"
        sheet.protection.sheet = True
        sheet.protection.formatColumns = False
        sheet.protection.formatRows = False


def _letters(cell: str) -> str:
    return "".join(character for character in cell if character.isalpha())


def _digits(cell: str) -> str:
    return "".join(character for character in cell if character.isdigit())
