"""The whole estimate on paper: design, parts, hours, price, findings and reasons."""

from estimator.documents.pdf.common import cautions, circuit_words, findings
from estimator.documents.pdf.records import Sheet
from estimator.documents.pdf.typeset import typeset
from estimator.documents.pdf.words import day, money, number, unit_money
from estimator.documents.pictures import (
    leg_load_picture,
    one_line_picture,
    panel_schedule_picture,
    run_time_picture,
    ways_picture,
)
from estimator.documents.records import FullEstimate
from estimator.documents.workbook_sheets.reasons import reasons_of
from estimator.published.sources import load_sources
from estimator.units import plain


def estimate_pdf(estimate: FullEstimate, sheet: Sheet) -> bytes:
    """PDF of everything about one job, for whoever builds, checks or files it."""
    job, price = estimate.job, estimate.price
    data = {
        "title": f"Estimate: {job.name}",
        "name": job.name,
        "computed_on": day(estimate.computed_on, sheet),
        "edition": job.site.code_edition,
        "circuits": circuit_words(estimate),
        "parts": _parts(estimate, sheet),
        "labour": _labour(estimate, sheet),
        "hours": number(estimate.take_off.hours, sheet),
        "groups": [
            {
                "group": group.group,
                **{
                    name: money(getattr(group, name), price.currency, sheet)
                    for name in (
                        "cost", "overhead", "contingency", "profit", "discount", "net", "sales_tax",
                    )
                },
                "with_tax": money(group.net + group.sales_tax, price.currency, sheet),
            }
            for group in price.groups
        ],
        "total": money(price.total, price.currency, sheet),
        "complete": price.complete,
        "unpriced": price.unpriced,
        "proposed": price.proposed,
        "findings": findings(estimate.findings),
        "assumptions": [
            {"field": one.field, "value": str(one.value), "because": one.because}
            for one in estimate.assumptions
        ],
        "reasons": _reasons(estimate),
        "ways": bool(estimate.ways),
        "cautions": cautions(estimate),
    }  # fmt: skip
    pictures = {
        "one_line": one_line_picture(estimate),
        "panel_schedule": panel_schedule_picture(estimate),
        "leg_load": leg_load_picture(estimate),
        "run_time": run_time_picture(estimate),
    }
    if estimate.ways:
        pictures["ways"] = ways_picture(estimate)
    return typeset("estimate.typ", sheet, data, pictures)


def _parts(estimate: FullEstimate, sheet: Sheet) -> list[dict[str, str]]:
    price = estimate.price
    rows = []
    seen: set[int] = set()
    for line in price.lines:
        first = line.part not in seen
        seen.add(line.part)
        rows.append(
            {
                "needed": f"{number(line.quantity_needed, sheet)} {line.unit}" if first else "",
                "part": line.description if first else "and",
                "bought": "" if line.amount is None else number(line.quantity_bought, sheet),
                "unit_price": ("unpriced" if line.match == "unpriced" else "")
                if line.unit_price is None
                else unit_money(line.unit_price, price.currency, sheet),
                "amount": "" if line.amount is None else money(line.amount, price.currency, sheet),
                "match": "to be confirmed" if line.match == "proposed" else "",
            }
        )
    return rows


def _labour(estimate: FullEstimate, sheet: Sheet) -> list[dict[str, str]]:
    return [
        {
            "task": task.task,
            "quantity": f"{number(task.quantity, sheet)} {task.unit}",
            "hours": f"{task.hours:.2f}",
            "range": f"{task.hours_low:.2f} to {task.hours_high:.2f}",
        }
        for task in estimate.take_off.labour
    ]


def _reasons(estimate: FullEstimate) -> list[dict[str, str]]:
    sources, edition = load_sources(), estimate.job.site.code_edition
    return [
        {
            "subject": subject,
            "text": reason.text,
            "source": sources[reason.source].cite(edition),
            "figures": "; ".join(
                f"{name.replace('_', ' ')} {value if isinstance(value, str) else plain(value)}"
                for name, value in reason.values
            ),
        }
        for subject, reason in reasons_of(estimate)
    ]
