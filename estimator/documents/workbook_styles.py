"""The named styles and number formats of the workbook."""

from typing import Literal

from openpyxl.styles import Alignment, Border, Font, NamedStyle, PatternFill, Protection, Side
from openpyxl.workbook import Workbook

Style = Literal[
    "Sheet title", "Section", "Column head", "Label", "Text", "Muted", "Hint", "Code", "Quantity",
    "Whole", "Money", "Unit price", "Percent",
    "Input quantity", "Input money", "Input unit price", "Input percent", "Input choice",
    "Total label", "Total whole", "Total hours", "Total money", "Grand label", "Grand money",
    "Danger", "Warning", "Notice", "Alert", "Unpriced",
]  # fmt: skip

_INK = "FF1F2933"
_LINE = Side(style="thin", color="FFC9D1D9")
_STRONG_LINE = Side(style="medium", color="FF1F3B57")
_GRID = Border(left=_LINE, right=_LINE, top=_LINE, bottom=_LINE)
_INPUT = PatternFill("solid", fgColor="FFFFF6CC")
_QUANTITY = "#,##0.####;-#,##0.####;0"
_PERCENT = '0.00##" %"'
_SYMBOLS = {"USD": "$", "CAD": "CA$", "GBP": "£", "EUR": "€"}


def money_format(currency: str, places: int) -> str:
    """Number format of money in a currency; a code that is not three letters shows no sign."""
    digits = "0." + "0" * places
    if not (len(currency) == 3 and currency.isascii() and currency.isalpha()):
        return f"#,##{digits}"
    sign = _SYMBOLS.get(currency, f"{currency} ")
    return f'"{sign}"#,##{digits};-"{sign}"#,##{digits}'


def add_styles(workbook: Workbook, currency: str) -> None:
    """Register every style of ``Style`` with the workbook."""
    money, unit_price = money_format(currency, 2), money_format(currency, 4)
    for style in (
        _style("Sheet title", size=16, bold=True, border=None),
        _style("Section", size=12, bold=True, border=Border(bottom=_STRONG_LINE)),
        _style("Column head", bold=True, fill="FF1F3B57", ink="FFFFFFFF", wrap=True, middle=True),
        _style("Label", indent=1),
        _style("Text", wrap=True, indent=1),
        _style("Muted", wrap=True, ink="FF5B6770", border=None),
        _style("Hint", ink="FF5B6770", border=None, indent=1),
        _style("Code", wrap=True, ink="FF5B6770", indent=1),
        _style("Quantity", number=_QUANTITY),
        _style("Whole", number="#,##0"),
        _style("Money", number=money),
        _style("Unit price", number=unit_price),
        _style("Percent", number=_PERCENT),
        _style("Input quantity", number=_QUANTITY, is_input=True),
        _style("Input money", number=money, is_input=True),
        _style("Input unit price", number=unit_price, is_input=True),
        _style("Input percent", number=_PERCENT, is_input=True),
        _style("Input choice", is_input=True, indent=1),
        _style("Total label", bold=True, fill="FFE8EDF2", wrap=True, indent=1),
        _style("Total hours", bold=True, fill="FFE8EDF2", number="#,##0.00"),
        _style("Total whole", bold=True, fill="FFE8EDF2", number="#,##0"),
        _style("Total money", bold=True, fill="FFE8EDF2", number=money),
        _style("Grand label", bold=True, size=13, fill="FFDCE6F0", wrap=True, indent=1),
        _style("Grand money", bold=True, size=13, fill="FFDCE6F0", number=money),
        _style("Danger", bold=True, fill="FFF8D0CC", ink="FF7A1210", indent=1),
        _style("Warning", bold=True, fill="FFFCE7C3", ink="FF6B4300", indent=1),
        _style("Notice", bold=True, fill="FFDDEBF7", ink="FF1F3B57", indent=1),
        _style("Alert", bold=True, fill="FFF8D0CC", ink="FF7A1210", wrap=True, indent=1),
        _style("Unpriced", bold=True, fill="FFF8D0CC", ink="FF7A1210", wrap=True, indent=1),
    ):
        workbook.add_named_style(style)


def _style(
    name: Style,
    *,
    size: int = 10,
    bold: bool = False,
    ink: str = _INK,
    fill: str = "",
    number: str = "General",
    border: Border | None = _GRID,
    wrap: bool = False,
    middle: bool = False,
    indent: int = 0,
    is_input: bool = False,
) -> NamedStyle:
    pattern = _INPUT if is_input else PatternFill("solid", fgColor=fill) if fill else PatternFill()
    return NamedStyle(
        name=name,
        font=Font(name="Calibri", size=size, bold=bold, color=ink),
        fill=pattern,
        border=border or Border(),
        alignment=Alignment(
            horizontal="center" if middle else "left" if indent else None,
            vertical="center" if middle else "top",
            wrap_text=wrap,
            indent=indent,
        ),
        number_format=number,
        protection=Protection(locked=not is_input),
    )
