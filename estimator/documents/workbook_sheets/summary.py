"""The first sheet: what it costs, what the credit gives, what to heed."""

from datetime import timedelta

from estimator.documents.cautions import cautions_for
from estimator.documents.records import FullEstimate
from estimator.documents.workbook_sheets.cautions_sheet import write_caution_block
from estimator.documents.workbook_sheets.credit import CreditCells
from estimator.documents.workbook_sheets.findings import STYLE_OF_SEVERITY
from estimator.documents.workbook_sheets.page import Page
from estimator.documents.workbook_sheets.price import PriceCells, complete_label
from estimator.money import ZERO
from estimator.sizing.records import LoadStudy
from estimator.units import plain

TITLE = "Summary"
WIDTHS = (36, 20, 20, 76)


def write_summary(
    page: Page,
    estimate: FullEstimate,
    title: str,
    price: PriceCells,
    credit: tuple[CreditCells, ...],
) -> None:
    """Fill the sheet; every amount on it is a reference to where it is computed."""
    page.heading(title, "Sheet title")
    _write_particulars(page, estimate)
    page.gap()
    _write_price(page, estimate, price)
    page.gap()
    _write_credits(page, estimate, credit)
    page.gap()
    _write_load_study(page, estimate.design.load_study)
    page.gap()
    _write_findings(page, estimate)
    page.gap()
    page.heading("Cautions")
    write_caution_block(page, cautions_for(estimate.job), len(WIDTHS))
    page.finish()


def _write_particulars(page: Page, estimate: FullEstimate) -> None:
    job = estimate.job
    terms = job.terms
    until = terms.quoted_on + timedelta(days=terms.valid_days)
    for label, value in (
        ("Job", job.name),
        ("Computed on", estimate.computed_on.isoformat()),
        ("Prices hold until", f"{until.isoformat()} ({terms.valid_days} days)"),
        ("Place and code edition", f"{job.site.region}, NFPA 70 ({job.site.code_edition})"),
        ("Currency", estimate.price.currency),
    ):
        page.text(1, label, "Label")
        page.paragraph(value, "Text", first=2)
    page.text(1, "Yellow cells are inputs", "Input choice")
    page.paragraph(
        "Change them on the sheets Parts, Labour and Price; everything else follows and is "
        "locked, without a password.",
        "Text",
        first=2,
    )


def _write_price(page: Page, estimate: FullEstimate, cells: PriceCells) -> None:
    price = estimate.price
    page.heading("Price")
    for group, (name, net) in zip(price.groups, cells.net_of_group, strict=True):
        page.text(1, name.capitalize(), "Label")
        page.formula(2, f"={net}", group.net, "Money")
        page.row += 1
    page.text(1, "Sales tax", "Label")
    tax = sum((group.sales_tax for group in price.groups), ZERO)
    page.formula(2, f"={cells.sales_tax}", tax, "Money")
    page.row += 1
    page.formula(1, f"={cells.label}", complete_label(price), "Grand label")
    page.formula(2, f"={cells.total}", price.total, "Grand money")
    page.row += 1
    page.text(1, "Deposit", "Label")
    page.formula(2, f"={cells.deposit}", price.deposit, "Money")
    page.row += 1
    if not price.complete:
        page.paragraph(
            f"INCOMPLETE: {price.unpriced} part{'s have' if price.unpriced != 1 else ' has'} no "
            "price in the lists given. Type prices on the sheet Parts, or give a list that has "
            "them; until then the total is too low.",
            "Alert",
        )
    if not price.optimal:
        page.paragraph("The purchase is a good one but not proven to be the cheapest.", "Text")


def _write_credits(page: Page, estimate: FullEstimate, credit: tuple[CreditCells, ...]) -> None:
    page.heading("Tax credit (an estimate, not tax advice)")
    page.head(("Programme", "Sure", "If all is allowed", "Verdict"))
    for answer, cells in zip(estimate.credits, credit, strict=True):
        year = "year not known" if answer.tax_year is None else str(answer.tax_year)
        page.text(1, f"{answer.programme}, {year}")
        page.formula(2, f"={cells.amount}", answer.amount, "Money")
        page.formula(3, f"={cells.amount_if_uncertain}", answer.amount_if_uncertain, "Money")
        codes = ", ".join(answer.reason_codes)
        page.text(4, f"{answer.status}: {codes}".replace("_", " "))
        page.row += 1
    if not estimate.credits:
        page.row_of_text(("none assessed", "", "", ""))


def _write_load_study(page: Page, study: LoadStudy) -> None:
    page.heading("What the supply has to carry")
    fits = {
        True: "The supply can carry all of it.",
        False: "The supply can NOT carry all of it; leave off: " + ", ".join(study.leave_off),
        None: "The rating of the supply is not known, so nobody can say whether it carries this.",
    }[study.fits]
    page.text(1, "Verdict", "Label")
    page.paragraph(fits, "Text" if study.fits else "Alert", first=2)
    legs = "; ".join(
        f"{leg} {plain(load.running_w)} W, {plain(load.amps)} A" for leg, load in study.legs
    )
    rows = [
        ("Running", f"{plain(study.running_w)} W ({legs})" if legs else plain(study.running_w)),
        ("At the largest start", f"{plain(study.starting_peak_w)} W"),
    ]
    for tier in study.runtime_h:
        hours = "not known" if tier.hours is None else f"{plain(tier.hours)} h"
        rows.append(
            (
                f"Run time, priority {tier.priority} and better",
                f"{hours} at {plain(tier.average_w)} W on average",
            )
        )
    recharge = study.recharge_h
    for label, charge_h in (
        ("solar", recharge.solar),
        ("the utility", recharge.ac),
        ("both at once", recharge.both),
    ):
        if charge_h is not None:
            rows.append((f"Recharge from {label}", f"{plain(charge_h)} h"))
    for label, value in rows:
        page.text(1, label, "Label")
        page.paragraph(value, "Text", first=2)


def _write_findings(page: Page, estimate: FullEstimate) -> None:
    page.heading("Findings")
    counts = {
        severity: sum(1 for finding in estimate.findings if finding.severity == severity)
        for severity in ("error", "warning", "note")
    }
    page.paragraph(
        f"Errors: {counts['error']}. Warnings: {counts['warning']}. Notes: {counts['note']}. "
        f"Assumptions: {len(estimate.assumptions)}. Each stands with its remedy on the sheets "
        "Findings and Assumptions.",
        "Alert" if counts["error"] else "Text",
    )
    for finding in estimate.findings:
        if finding.severity == "error":
            page.text(1, "error", STYLE_OF_SEVERITY["error"])
            page.paragraph(f"{finding.message} {finding.remedy}", "Text", first=2)
