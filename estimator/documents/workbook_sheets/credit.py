"""The sheet of tax credits: each cost with its verdict, then base, rate and amount."""

from dataclasses import dataclass
from decimal import Decimal

from estimator.credits.records import CreditAnswer, Outcome
from estimator.documents.credit_memo import CreditMemo, MemoSection, credit_memo
from estimator.documents.credit_years import TOGETHER_IS
from estimator.documents.records import FullEstimate
from estimator.documents.workbook_sheets.credit_years_table import (
    STYLE_OF_STATUS,
    write_carried,
    write_years,
)
from estimator.documents.workbook_sheets.page import Page
from estimator.documents.workbook_styles import Style
from estimator.money import HUNDRED, ZERO, to_cents

TITLE = "Credit"
WIDTHS = (46, 15, 19, 19, 56, 38)
HEADS = ("Cost", "Amount", "Verdict", "Counts if the claim stands", "Why", "Authority")
OUTCOME_HEADS = ("", "Sure", "If the claim stands", "If all is allowed", "How", "")
OPEN_HEADS = (
    "Open point", "If it goes against", "If it goes for", "Supposing that", "For and against",
    "Authority",
)  # fmt: skip
NOT_ADVICE = (
    "Not tax advice. The costs below are those of this estimate: when you change a price "
    "elsewhere in this workbook they do not follow, so estimate again."
)


@dataclass(frozen=True, slots=True)
class CreditCells:
    """References to the results of one programme: sure amount, amount if all is allowed."""

    amount: str
    amount_if_uncertain: str


@dataclass(frozen=True, slots=True)
class _Reading:
    """One reading of the open points: its column, the costs it counts and the outcome."""

    column: int
    formula: str
    counted: Decimal
    outcome: Outcome

    @property
    def letter(self) -> str:
        return "ABCD"[self.column - 1]


def write_credit(page: Page, estimate: FullEstimate) -> tuple[CreditCells, ...]:
    """Fill the sheet; returns the result cells of each programme, in order."""
    page.heading("Tax credits", "Sheet title")
    page.paragraph(NOT_ADVICE, "Alert")
    page.gap()
    memo = credit_memo(estimate)
    if not memo.sections:
        page.paragraph("No credit programme was assessed for this job.")
        page.finish()
        return ()
    _write_facts(page, memo)
    cells = tuple(_write_section(page, section) for section in memo.sections)
    _write_total(page, memo)
    write_carried(page, memo.carried_on)
    write_years(page, memo.years)
    page.finish()
    return cells


def _write_facts(page: Page, memo: CreditMemo) -> None:
    page.head(("Facts relied on", "As told", "", "", "Where not told: why it is assumed", ""))
    for fact in memo.facts:
        page.text(1, fact.name)
        page.paragraph(fact.value, "Text", first=2, last=4)
        page.row -= 1
        page.paragraph(fact.assumed, "Text", first=5)
    page.gap()


def _write_total(page: Page, memo: CreditMemo) -> None:
    if not memo.together:
        return
    page.heading("All programmes together")
    page.paragraph(TOGETHER_IS)
    page.head(OUTCOME_HEADS)
    page.text(1, "Credit that can be used this year", "Total label")
    amounts = (memo.total.sure, memo.total.if_allowed, memo.total.if_everything)
    for column, amount in enumerate(amounts, start=2):
        page.number(column, amount, "Total money")
    page.text(5, "not the sum of the programmes; as assessed", "Code")
    page.row += 1
    page.gap()


def _write_section(page: Page, section: MemoSection) -> CreditCells:
    answer = section.answer
    year = "tax year not known" if answer.tax_year is None else f"tax year {answer.tax_year}"
    page.heading(f"{answer.programme} ({answer.jurisdiction}), {year}")
    page.text(1, "Verdict on the claim as a whole", "Label")
    page.text(2, answer.status.replace("_", " "), STYLE_OF_STATUS[answer.status])
    codes = ", ".join(answer.reason_codes).replace("_", " ")
    page.paragraph(codes or "no reason codes", "Text", first=3)
    for reason in answer.because:
        page.paragraph(reason.text, "Text")
    page.head(HEADS)
    first = page.row
    for line in answer.lines:
        page.text(1, line.cost)
        page.number(2, line.amount, "Money")
        page.text(3, line.status.replace("_", " "), STYLE_OF_STATUS[line.status])
        page.text(4, "yes" if line.in_base else "no")
        page.text(5, " ".join(reason.text for reason in line.because))
        page.text(6, line.authority)
        page.row += 1
    cells = _write_outcomes(page, answer, first, max(page.row - 1, first))
    _write_form(page, answer)
    _write_open_points(page, answer)
    _write_list(page, "Authorities", section.authorities)
    _write_list(page, "Questions that decide", answer.questions)
    _write_list(page, "Evidence to keep", answer.evidence)
    if answer.caution:
        page.paragraph(answer.caution, "Alert")
    page.gap()
    return cells


def _readings(answer: CreditAnswer, first: int, last: int) -> tuple[_Reading, ...]:
    amounts, verdicts, counts = (f"{letter}{first}:{letter}{last}" for letter in "BCD")
    sure = Outcome(answer.base, answer.tentative, answer.amount, answer.carryforward)
    open_lines = [line for line in answer.lines if line.status != "not_eligible"]
    return (
        _Reading(
            2,
            f'=SUMIF({verdicts},"eligible",{amounts})',
            sum((line.amount for line in open_lines if line.status == "eligible"), ZERO),
            sure,
        ),
        _Reading(
            3,
            f'=SUMIFS({amounts},{counts},"yes",{verdicts},"<>not eligible")',
            sum((line.amount for line in open_lines if line.in_base), ZERO),
            answer.if_allowed,
        ),
        _Reading(
            4,
            f'=SUMIF({verdicts},"eligible",{amounts})+SUMIF({verdicts},"uncertain",{amounts})',
            sum((line.amount for line in open_lines), ZERO),
            answer.if_everything,
        ),
    )


def _write_outcomes(page: Page, answer: CreditAnswer, first: int, last: int) -> CreditCells:
    page.head(OUTCOME_HEADS)
    top = page.row
    labels = (
        ("Costs that count", "sum of the lines above that this reading allows"),
        ("Taken off or added", "subsidies, rebates, private share; as assessed"),
        ("Base of the credit", "the two above"),
        ("Rate", "of the year"),
        ("Base times rate", "rounded to the cent"),
        ("Caps of the year", "as assessed"),
        ("Carried in and limits of the taxpayer", "as assessed"),
        ("Credit that can be used this year", "the three above"),
        ("Left for the next year", "empty: the tax limit was not told"),
    )
    for row, (label, how) in enumerate(labels, start=top):
        style: Style = "Total label" if row == top + 7 else "Label"
        page.text(1, label, style, row=row)
        page.text(5, how, "Code", row=row)
    readings = _readings(answer, first, last)
    for reading in readings:
        _write_outcome(page, answer.rate, reading, top)
    page.row = top + len(labels)
    return CreditCells(page.absolute(f"B{top + 7}"), page.absolute(f"D{top + 7}"))


def _write_outcome(page: Page, rate: Decimal, reading: _Reading, top: int) -> None:
    column, letter, outcome = reading.column, reading.letter, reading.outcome
    by_rate = to_cents(outcome.base * rate)
    counted = page.formula(column, reading.formula, reading.counted, "Money", row=top)
    off = page.number(column, outcome.base - reading.counted, "Input money", row=top + 1)
    base = page.formula(column, f"={counted}+{off}", outcome.base, "Money", row=top + 2)
    if column == 2:
        page.number(column, rate * HUNDRED, "Input percent", row=top + 3)
    else:
        page.formula(column, f"=B{top + 3}", rate * HUNDRED, "Percent", row=top + 3)
    product = f"=ROUND({base}*{letter}{top + 3}/100,2)"
    page.formula(column, product, by_rate, "Money", row=top + 4)
    page.number(column, outcome.tentative - by_rate, "Input money", row=top + 5)
    page.number(column, outcome.amount - outcome.tentative, "Input money", row=top + 6)
    added = f"=SUM({letter}{top + 4}:{letter}{top + 6})"
    page.formula(column, added, outcome.amount, "Total money", row=top + 7)
    page.number(column, outcome.carryforward, "Money", row=top + 8)


def _write_form(page: Page, answer: CreditAnswer) -> None:
    if not answer.form_lines:
        return
    page.head(("Line of the form", "Sure", "", "If all is allowed", "What goes there", ""))
    for line in answer.form_lines:
        page.text(1, f"{line.form}, line {line.line}")
        page.text(2, line.amount)
        page.text(4, line.amount_if_uncertain)
        page.text(5, line.label)
        page.row += 1


def _write_open_points(page: Page, answer: CreditAnswer) -> None:
    if not answer.open_points:
        return
    page.head(OPEN_HEADS)
    for point in answer.open_points:
        page.text(1, point.concerns)
        page.number(2, point.amount_against, "Money")
        page.number(3, point.amount_for, "Money")
        page.text(4, point.supposing)
        sides = f"For: {point.for_text}\nAgainst: {point.against_text}"
        page.text(5, f"{sides}\nSettled by: {point.settled_by}")
        page.text(6, f"For: {point.for_authority}\nAgainst: {point.against_authority}")
        page.row += 1


def _write_list(page: Page, title: str, entries: tuple[str, ...]) -> None:
    if entries:
        page.row_of_text((title,), "Column head")
    for entry in entries:
        page.paragraph(entry, "Text")
