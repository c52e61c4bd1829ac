"""The estimate as plain text for a terminal: what to buy, what it costs, what the credit is."""

from decimal import Decimal

from estimator.documents.cautions import cautions_for
from estimator.documents.comparison_text import comparison_lines
from estimator.documents.credit_text import carried_lines, year_lines
from estimator.documents.credit_years import CARRIED, TOGETHER_IS
from estimator.documents.records import FullEstimate
from estimator.money import ZERO
from estimator.pricing.records import Price, PriceLine
from estimator.sizing.records import RunDesign
from estimator.units import plain

# Instead of a unit price.
_SERVED = {"unpriced": "unpriced", "stock": "from stock", "kit": "in the kit"}


def text_report(estimate: FullEstimate) -> str:
    """Parts with prices, labour, totals, credit, ways, findings, assumptions and cautions."""
    blocks = [
        [estimate.job.name, "=" * len(estimate.job.name)],
        _design(estimate),
        _parts(estimate),
        _purchase(estimate),
        _labour(estimate),
        _totals(estimate.price),
        _credits(estimate),
        _years(estimate),
        _comparison(estimate),
        _findings(estimate),
        _assumptions(estimate),
        _cautions(estimate),
    ]
    return "\n\n".join("\n".join(block) for block in blocks if block) + "\n"


def _heading(title: str) -> list[str]:
    return [title, "-" * len(title)]


def _design(estimate: FullEstimate) -> list[str]:
    design = estimate.design
    study = design.load_study
    fits = {
        True: "the supply carries it",
        False: "the supply does NOT carry it",
        None: "whether the supply carries it is not known",
    }[study.fits]
    legs = ", ".join(f"{leg} {plain(load.running_w)} W" for leg, load in study.legs)
    lines = [
        *_heading("Design"),
        f"Load: {plain(study.running_w)} W running, {plain(study.starting_peak_w)} W at the "
        f"worst start ({legs}); {fits}",
    ]
    for run in design.runs:
        raceway = f"{run.trade_size} {run.wiring_method}" if run.trade_size else run.wiring_method
        lines.append(
            f"Run {run.index + 1}, {run.from_} to {run.to}: {plain(run.length_ft)} ft {raceway}, "
            + (_wire(run) if run.conductors else "conductors not designed")
            + (" (whip of the listed switch)" if run.factory_whip else "")
        )
    return lines


def _wire(run: RunDesign) -> str:
    largest = max(run.conductors, key=lambda one: (one.role == "ungrounded", one.count))
    drop = plain(run.voltage_drop_percent)
    return f"{largest.size} {largest.insulation}, drop {drop} %"


def _parts(estimate: FullEstimate) -> list[str]:
    lines = _heading("Parts")
    symbol = estimate.price.currency
    lines.append(f"{'needed':>10} {'':2} {'part':62} {'bought':>9} {'unit price':>11} {symbol:>10}")
    first_of: set[int] = set()
    for line in estimate.price.lines:
        again = line.part in first_of
        first_of.add(line.part)
        lines.append(_part_line(line, again))
    for each in estimate.price.deliveries:
        text = f"delivery by {each.supplier}"
        lines.append(f"{'':10} {'':2} {text[:62]:62} {'':>9} {'':>11} {each.fee:>10,.2f}")
    return lines


def _part_line(line: PriceLine, again: bool) -> str:
    needed = "" if again else plain(line.quantity_needed)
    unit = "" if again else line.unit
    description = "  and" if again and line.match not in _SERVED else line.description
    bought = plain(line.quantity_bought) if line.amount is not None else "-"
    price = _SERVED.get(line.match, "")
    if line.unit_price is not None:
        price = f"{line.unit_price:,.4f}"
    amount = "unpriced" if line.amount is None else f"{line.amount:,.2f}"
    mark = "  proposed, to be confirmed" if line.match == "proposed" else ""
    return f"{needed:>10} {unit:2} {description[:62]:62} {bought:>9} {price:>11} {amount:>10}{mark}"


def _purchase(estimate: FullEstimate) -> list[str]:
    """What is ordered where, when suppliers have terms; else the parts say it all."""
    plan, currency = estimate.purchase, estimate.price.currency
    if not (plan.terms or plan.kits):
        return []
    lines = _heading("Purchase by supplier")
    for order in plan.orders:
        text = f"{order.supplier}: {order.lines} lines, goods {order.goods:,.2f}"
        if order.minimum_order:
            text += f" (minimum order {order.minimum_order:,.2f})"
        text += f", delivery {order.delivery_fee:,.2f}"
        if order.free_delivery_from is not None and order.terms_fee:
            text += f" (free from {order.free_delivery_from:,.2f})"
        lines.append(f"{text} {currency}")
    for kit in plan.kits:
        held = "; ".join(
            f"{plain(taken)} of {estimate.take_off.parts[place].description}"
            + (f", {plain(left)} left over" if left else "")
            for place, taken, left in kit.serves
        )
        lines.append(f"Kit {kit.item.number}, {kit.packs} x {kit.item.description}: {held}")
    if plan.optimal:
        lines.append("Proven the least money on these terms.")
    else:
        lines.append(f"No purchase is cheaper by more than {plan.gap:,.2f} {currency}.")
    return lines


def _labour(estimate: FullEstimate) -> list[str]:
    lines = _heading("Labour")
    for task in estimate.take_off.labour:
        lines.append(
            f"{plain(task.quantity):>10} {task.unit[:8]:8} {task.task[:70]:70} {task.hours:>7.2f} h"
        )
    lines.append(f"{'':>10} {'':8} {'all tasks':70} {estimate.take_off.hours:>7.2f} h")
    return lines


def _totals(price: Price) -> list[str]:
    lines = _heading("Price")

    def row(name: str, amount: Decimal) -> None:
        lines.append(f"{name:50} {amount:>12,.2f} {price.currency}")

    def column(name: str) -> Decimal:
        return sum((getattr(group, name) for group in price.groups), ZERO)

    for group in price.groups:
        row(group.group.capitalize(), group.cost)
    for name in ("overhead", "contingency"):
        if column(name):
            row(name.capitalize(), column(name))
    if column("profit"):
        row(price.profit_kind.capitalize(), column("profit"))
    if column("discount"):
        row("Discount", -column("discount"))
    row("Sales tax", column("sales_tax"))
    if price.complete:
        row("Total", price.total)
    else:
        row(f"INCOMPLETE total ({price.unpriced} parts unpriced)", price.total)
    if price.deposit:
        row("Deposit", price.deposit)
    return [*lines, *_to_confirm(price)]


def _to_confirm(price: Price) -> list[str]:
    if not price.proposed:
        return []
    matches = "1 proposed match" if price.proposed == 1 else f"{price.proposed} proposed matches"
    return [f"The total rests on {matches}, to be confirmed before sending."]


def _credits(estimate: FullEstimate) -> list[str]:
    lines: list[str] = []
    for answer in estimate.credits:
        year = answer.tax_year or "year not known"
        if lines:
            lines.append("")
        lines += _heading(f"Tax credit: {answer.programme} ({year})")
        lines.append(
            f"{answer.status.replace('_', ' ')}: sure {answer.amount:,.2f}; if the claim is "
            f"allowed {answer.if_allowed.amount:,.2f}; with every open cost too "
            f"{answer.amount_if_uncertain:,.2f} {estimate.price.currency}"
        )
        lines += [f"- {reason.text}" for reason in answer.because]
        lines += [f"? {question}" for question in answer.questions]
        lines.append(answer.caution)
    if len(estimate.credits) > 1:
        total = estimate.credit_total
        lines += ["", *_heading("All credits together"), TOGETHER_IS]
        lines.append(
            f"sure {total.sure:,.2f}; if the claims are allowed {total.if_allowed:,.2f}; with "
            f"every open cost too {total.if_everything:,.2f} {estimate.price.currency}"
        )
    if estimate.carried_on:
        lines += ["", *_heading(CARRIED)]
        lines += carried_lines(estimate.carried_on, estimate.price.currency)
    return lines


def _comparison(estimate: FullEstimate) -> list[str]:
    if not estimate.ways:
        return []
    return [
        *_heading("Ways to get it done"),
        *comparison_lines(estimate.ways, estimate.price.currency),
    ]


def _years(estimate: FullEstimate) -> list[str]:
    if not estimate.credits_by_year:
        return []
    return [
        *_heading("Credits by year"),
        *year_lines(estimate.credits_by_year, estimate.price.currency),
    ]


def _findings(estimate: FullEstimate) -> list[str]:
    if not estimate.findings:
        return []
    lines = _heading("Findings")
    for finding in estimate.findings:
        lines.append(f"{finding.severity.upper()} {finding.code} {finding.where}")
        lines.append(f"    {finding.message}")
        lines.append(f"    -> {finding.remedy}")
    return lines


def _assumptions(estimate: FullEstimate) -> list[str]:
    if not estimate.assumptions:
        return []
    return [
        *_heading("Assumed, since the job does not say"),
        *(
            f"{assumption.field} = {assumption.value}: {assumption.because}"
            for assumption in estimate.assumptions
        ),
    ]


def _cautions(estimate: FullEstimate) -> list[str]:
    return [
        *_heading("Cautions"),
        *(f"{one.severity.upper()}: {one.text}" for one in cautions_for(estimate.job)),
    ]
