"""The sheet of the ways to get the job done, a column for each."""

from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal

from estimator.compare.records import CostGroup, Way, WayNote
from estimator.documents.comparison_rows import (
    FOR_EACH,
    GROUPS,
    HOURS,
    IF_ALLOWED,
    NAMES,
    RANGE,
    FigureRow,
    paid_for,
    quote_words,
)
from estimator.documents.records import FullEstimate
from estimator.documents.workbook_sheets.page import Page
from estimator.documents.workbook_styles import Style
from estimator.money import to_cents

TITLE = "Comparison"
WIDTHS = (52, 18, 18, 18, 50)
AS_ESTIMATED = (
    "What each way costs and leaves out. The costs are those of this estimate: when you change "
    "a price elsewhere in this workbook they do not follow, so estimate again. Not tax advice."
)
_HOW: Mapping[CostGroup, str] = {
    "supply": "the same in every way, tax included",
    "materials": "list prices; hired, on the terms of the quote",
    "tools": "those not at hand, whichever is cheaper",
    "labour": "own hours are not paid",
    "permit": "as told; empty where the fee is not known",
    "loan": "equal monthly payments; fees of the loan are not known",
}
_CREDIT = "what this way's own costs bring in the first year"
_WORTH = "empty: the worth of an own hour is not told"
_LETTERS = "BCD"
_STYLES: dict[str, Style] = {
    "money": "Money", "unit_price": "Unit price", "hours": "Quantity", "count": "Whole",
}  # fmt: skip


def write_comparison(page: Page, estimate: FullEstimate) -> None:
    """Fill the sheet: costs that add up, the range, figures per unit, notes and tools."""
    ways = estimate.ways
    page.heading("Ways to get the job done", "Sheet title")
    page.paragraph(AS_ESTIMATED, "Alert")
    page.gap()
    if not ways:
        page.paragraph("The ways to get this job done were not compared.")
        page.finish()
        return
    page.head(("", *(NAMES[way.way] for way in ways), "How"))
    _write_costs(page, ways)
    _write_figures(page, ways)
    page.gap()
    for way in ways:
        _write_notes(page, way)
    _write_tools(page, ways)
    page.finish()


def _write_costs(page: Page, ways: Sequence[Way]) -> None:
    first = page.row
    for group, label in GROUPS.items():
        page.text(1, label, "Label")
        for column, way in enumerate(ways, start=2):
            page.number(column, to_cents(paid_for(way, group)), "Money")
        page.text(5, _HOW.get(group, ""), "Code")
        page.row += 1
    cash = page.row
    _summed(
        page,
        ways,
        "Cash cost",
        f"=SUM({{0}}{first}:{{0}}{cash - 1})",
        lambda way: way.cash_cost,
        "sum of the rows above",
    )
    _row(page, ways, FigureRow("Sure credit", lambda way: way.credit, "money", _CREDIT))
    after = page.row
    _summed(
        page,
        ways,
        "Cost after the sure credit",
        f"={{0}}{cash}-{{0}}{cash + 1}",
        lambda way: way.cost_after_credit,
        "cash cost less the credit",
    )
    _row(
        page,
        ways,
        FigureRow("Worth of own hours", lambda way: way.own_hours_value, "money", _WORTH),
    )
    _summed(
        page,
        ways,
        "Whole cost",
        f"={{0}}{after}+{{0}}{after + 1}",
        lambda way: way.whole_cost,
        "the two rows above",
    )


def _write_figures(page: Page, ways: Sequence[Way]) -> None:
    for row in (*RANGE, *IF_ALLOWED, *HOURS, *FOR_EACH):
        _row(page, ways, row)
    quotes = [quote for way in ways for quote in way.hire_quotes]
    for number, quote in enumerate(quotes, start=1):
        page.text(1, f"Quote {number} of others, the supply added", "Label")
        page.number(3, quote.with_supply, "Money")
        page.text(5, quote_words(quote), "Code")
        page.row += 1


def _row(page: Page, ways: Sequence[Way], row: FigureRow) -> None:
    page.text(1, row.label, "Label")
    for column, way in enumerate(ways, start=2):
        page.number(column, row.figure(way), _STYLES[row.unit])
    page.text(5, row.how, "Code")
    page.row += 1


def _summed(
    page: Page,
    ways: Sequence[Way],
    label: str,
    formula: str,
    value: Callable[[Way], Decimal],
    how: str,
) -> None:
    page.text(1, label, "Total label")
    for column, way in enumerate(ways, start=2):
        cells = formula.format(_LETTERS[column - 2])
        page.formula(column, cells, to_cents(value(way)), "Total money")
    page.text(5, how, "Code")
    page.row += 1


def _write_notes(page: Page, way: Way) -> None:
    page.heading(NAMES[way.way])
    for missing in way.not_known:
        page.paragraph(f"INCOMPLETE: {missing}.", "Alert")
    _notes(page, "Leaves out", way.leaves_out)
    _notes(page, "May be forbidden", way.may_be_forbidden)
    for reason in way.because:
        page.paragraph(reason.text)
    page.gap()


def _notes(page: Page, label: str, notes: Sequence[WayNote]) -> None:
    for note in notes:
        page.text(1, label, "Label")
        page.paragraph(note.text, "Text", first=2)


def _write_tools(page: Page, ways: Sequence[Way]) -> None:
    tools = [tool for way in ways for tool in way.tools]
    if not tools:
        return
    page.heading("Tools of one who does it alone")
    page.head(("Tool", "How", "Likely", "High", "Why"))
    for tool in tools:
        page.text(1, tool.description)
        page.text(2, tool.how)
        page.number(3, tool.likely, "Money")
        page.number(4, tool.high, "Money")
        page.text(5, tool.because[0].text)
        page.row += 1
