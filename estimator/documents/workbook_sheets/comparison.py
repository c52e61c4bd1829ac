"""The sheet of the ways to get the job done, a column for each."""

from collections.abc import Callable, Sequence
from decimal import Decimal

from estimator.compare.records import Way, WayNote
from estimator.documents.records import FullEstimate
from estimator.documents.workbook_sheets.page import Page
from estimator.documents.workbook_styles import Style
from estimator.money import ZERO, to_cents

TITLE = "Comparison"
WIDTHS = (52, 18, 18, 18, 50)
NAMES = {"own": "Do it oneself", "hire": "Hire", "cords_only": "Only cords"}
GROUPS = (
    ("supply", "The supply, as told"),
    ("materials", "Parts with sales tax"),
    ("cords", "Extension cords with sales tax"),
    ("tools", "Tools bought or rented, with sales tax"),
    ("labour", "Labour of the contractor"),
    ("permit", "Permit"),
)
AS_ESTIMATED = (
    "What each way costs and leaves out. The costs are those of this estimate: when you change "
    "a price elsewhere in this workbook they do not follow, so estimate again. Not tax advice."
)
_LETTERS = "BCD"
_Figure = Callable[[Way], Decimal | int | None]


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
    for what, label in GROUPS:
        page.text(1, label, "Label")
        for column, way in enumerate(ways, start=2):
            paid = sum((cost.paid for cost in way.costs if cost.what == what), ZERO)
            page.number(column, to_cents(paid), "Money")
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
    _row(page, ways, "Sure credit", lambda way: way.credit, "Money", "of this way's own costs")
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
        "Worth of own hours",
        lambda way: way.own_hours_value,
        "Money",
        "empty: the worth of an own hour is not told",
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
    figures: tuple[tuple[str, _Figure, Style, str], ...] = (
        ("Low", lambda way: way.low, "Money", "10 of a hundred such jobs cost less"),
        ("Likely", lambda way: way.likely, "Money", "half of them cost less"),
        ("High", lambda way: way.high, "Money", "90 of a hundred cost less"),
        (
            "Credit if the claim is allowed",
            lambda way: way.credit_if_allowed,
            "Money",
            "instead of the sure credit",
        ),
        (
            "Cost after that credit",
            lambda way: way.cost_after_credit_if_allowed,
            "Money",
            "without own hours",
        ),
        ("Hours, low", lambda way: way.hours_low, "Quantity", "own hours, or those of the crew"),
        ("Hours", lambda way: way.hours, "Quantity", "likely"),
        ("Hours, high", lambda way: way.hours_high, "Quantity", ""),
        ("Circuits fed", lambda way: way.circuits, "Whole", ""),
        (
            "Cost of each circuit",
            lambda way: way.cost_per_circuit,
            "Money",
            "after the sure credit, own hours not counted",
        ),
        (
            "Cost of each kWh over the battery's life",
            lambda way: way.cost_per_kwh,
            "Unit price",
            "the same; empty: the life of the battery is not known",
        ),
        (
            "Worth of an own hour at which hiring costs the same",
            lambda way: way.break_even_hour_value,
            "Money",
            "below zero: hiring is cheaper anyhow",
        ),
    )
    for label, figure, style, how in figures:
        _row(page, ways, label, figure, style, how)
    quotes = [quote for way in ways for quote in way.hire_quotes]
    for number, quote in enumerate(quotes, start=1):
        page.text(1, f"Quote {number} of others, the supply added", "Label")
        page.number(3, quote.with_supply, "Money")
        page.text(5, "as told; no credit is worked out on it", "Code")
        page.row += 1


def _row(
    page: Page, ways: Sequence[Way], label: str, figure: _Figure, style: Style, how: str
) -> None:
    page.text(1, label, "Label")
    for column, way in enumerate(ways, start=2):
        page.number(column, figure(way), style)
    page.text(5, how, "Code")
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
