"""The sheet of charts: the price by group, and the ways side by side with their range."""

from openpyxl.chart import BarChart, Reference
from openpyxl.chart.label import DataLabelList
from openpyxl.chart.shapes import GraphicalProperties
from openpyxl.worksheet.pagebreak import Break

from estimator.documents.comparison_rows import NAMES
from estimator.documents.records import FullEstimate
from estimator.documents.workbook_sheets.page import Page
from estimator.documents.workbook_sheets.price import PriceCells
from estimator.money import ZERO

TITLE = "Charts"
WIDTHS = (30, 18, 18, 18, 18)
# Told apart in print and by those who do not see colours: light, middle, dark.
_FILLS = ("C9DDE3", "6FA3B3", "14566A")
_HEIGHT_CM, _WIDTH_CM, _ROWS_OF_A_CHART = 7, 17, 15


def write_charts(page: Page, estimate: FullEstimate, cells: PriceCells) -> None:
    """Fill the sheet; the first chart follows the price, the second is as estimated."""
    page.heading("Charts", "Sheet title")
    page.gap()
    _write_price(page, estimate, cells)
    if estimate.ways:
        page.sheet.row_breaks.append(Break(id=page.row - 1))
        _write_ways(page, estimate)
    page.finish()


def _write_price(page: Page, estimate: FullEstimate, cells: PriceCells) -> None:
    price = estimate.price
    page.heading("Price by group")
    head = page.head(("Group", price.currency))
    for group, (name, reference) in zip(price.groups, cells.net_of_group, strict=True):
        page.text(1, name.capitalize(), "Label")
        page.formula(2, f"={reference}", group.net, "Money")
        page.row += 1
    page.text(1, "Sales tax", "Label")
    tax = sum((group.sales_tax for group in price.groups), ZERO)
    page.formula(2, f"={cells.sales_tax}", tax, "Money")
    page.row += 1
    _draw(page, "Price by group", price.currency, head, columns=1, fills=_FILLS[1:])


def _write_ways(page: Page, estimate: FullEstimate) -> None:
    page.heading("Whole cost of each way, low to high")
    head = page.head(("Way", "Low", "Likely", "High"))
    for way in estimate.ways:
        page.text(1, NAMES[way.way], "Label")
        for column, amount in enumerate((way.low, way.likely, way.high), start=2):
            page.number(column, amount, "Money")
        page.row += 1
    title = "Whole cost of each way"
    _draw(page, title, estimate.price.currency, head, columns=3, fills=_FILLS)


def _draw(
    page: Page, title: str, unit: str, head: int, *, columns: int, fills: tuple[str, ...]
) -> None:
    """A bar chart of the table above, below it."""
    chart = BarChart()
    chart.type = "bar"
    chart.title = title
    chart.height, chart.width = _HEIGHT_CM, _WIDTH_CM
    last = page.row - 1
    figures = Reference(page.sheet, min_col=2, max_col=1 + columns, min_row=head, max_row=last)
    chart.add_data(figures, titles_from_data=True)
    chart.set_categories(Reference(page.sheet, min_col=1, min_row=head + 1, max_row=last))
    for series, fill in zip(chart.series, fills, strict=False):
        series.graphicalProperties = GraphicalProperties(solidFill=fill)
    if columns == 1:
        chart.legend = None
        chart.dataLabels = DataLabelList(
            showVal=True, showCatName=False, showSerName=False, showLegendKey=False
        )
    chart.y_axis.title = unit
    chart.y_axis.number_format = "#,##0"
    # The first row of the table at the top, as it is read.
    chart.x_axis.scaling.orientation = "maxMin"
    chart.x_axis.delete = chart.y_axis.delete = False
    page.gap()
    page.sheet.add_chart(chart, f"A{page.row}")
    page.row += _ROWS_OF_A_CHART
