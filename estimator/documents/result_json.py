"""The whole result as JSON-ready objects: the same keys for the service, the pages and files.

Quantities and money are strings of exact decimals; sizes as the trade writes them. Every
reason names a source key, and ``sources`` spells out each key that was used.
"""

from collections.abc import Sequence
from decimal import Decimal
from functools import cache, partial
from typing import Any

from estimator.basis import Because
from estimator.credits.records import CreditAnswer, Outcome
from estimator.documents.cautions import cautions_for
from estimator.documents.comparison_json import way_document
from estimator.documents.credit_json import (
    link_document,
    open_point_document,
    total_document,
    year_document,
)
from estimator.documents.purchase_json import plan_document
from estimator.documents.records import FullEstimate
from estimator.finding import Finding
from estimator.money import ZERO
from estimator.pricing.records import Price
from estimator.published.sources import load_sources
from estimator.sizing.records import CordDesign, LoadStudy, PullBox, RunDesign, SurgeProtector
from estimator.takeoff.why import asked_for
from estimator.units import plain

Json = dict[str, Any]


def result_document(estimate: FullEstimate) -> Json:
    """The result of one estimate as plain objects, ready for any JSON writer."""
    used: set[str] = set()
    document: Json = {
        "computed_on": estimate.computed_on.isoformat(),
        "job_name": estimate.job.name,
        "estimate": _estimate(estimate, used),
        "price": _price(estimate, used),
        "credits": [_credit(answer, used) for answer in estimate.credits],
        "credit_total": total_document(estimate.credit_total),
        "comparison": [
            way_document(way, partial(_because, used=used), used) for way in estimate.ways
        ],
        "cautions": [
            {
                "severity": caution.severity,
                "text": caution.text,
                "source": _key(caution.source, used),
            }
            for caution in cautions_for(estimate.job)
        ],
        "price_lists": [
            {
                "name": price_list.name,
                "supplier": price_list.supplier,
                "sha256": price_list.digest,
                "rows_read": price_list.rows_read,
                "items": price_list.items_read,
                "rejected": [
                    {"where": fault.where, "message": fault.message}
                    for fault in price_list.rejected
                ],
                "unread": [
                    {
                        "row": row.row,
                        "item_number": row.number,
                        "description": row.description,
                        "why": row.why,
                    }
                    for row in price_list.unread
                ],
            }
            for price_list in estimate.price_lists
        ],
    }
    if estimate.carried_on:
        document["credit_carried_on"] = [link_document(link) for link in estimate.carried_on]
    if estimate.credits_by_year:
        document["credits_by_year"] = [year_document(row) for row in estimate.credits_by_year]
    edition = estimate.job.site.code_edition
    document["sources"] = {
        key: {"citation": citation, "status": status}
        for key in sorted(used)
        for citation, status in (_cited(key, edition),)
    }
    return document


@cache
def _cited(key: str, edition: str) -> tuple[str, str]:
    source = load_sources()[key]
    return source.cite(edition), source.status


def _key(source: str, used: set[str]) -> str:
    used.add(source)
    return source


def _because(reasons: Sequence[Because], used: set[str]) -> list[Json]:
    used.update([reason.source for reason in reasons])
    return [
        {
            "text": reason.text,
            "source": reason.source,
            "figures": {
                name: value if isinstance(value, str) else plain(value)
                for name, value in reason.values
            },
        }
        for reason in reasons
    ]


def _maybe(amount: Decimal | None) -> str | None:
    return None if amount is None else plain(amount)


def _finding(finding: Finding, used: set[str]) -> Json:
    return {
        "severity": finding.severity,
        "code": finding.code,
        "message": finding.message,
        "where": finding.where,
        "source": _key(finding.source, used),
        "remedy": finding.remedy,
    }


def _estimate(estimate: FullEstimate, used: set[str]) -> Json:
    design = estimate.design
    used.update([assumption.source for assumption in estimate.assumptions])
    return {
        "assumptions": [
            {
                "field": assumption.field,
                "value": assumption.value,
                "because": assumption.because,
                "source": assumption.source,
            }
            for assumption in estimate.assumptions
        ],
        "findings": [_finding(finding, used) for finding in estimate.findings],
        "load_study": _load_study(design.load_study, used),
        "transfer": {
            "method": design.transfer.method,
            "rating_a": design.transfer.rating_a,
            "spaces": design.transfer.spaces,
            "spaces_needed": design.transfer.spaces_needed,
            "spaces_used": design.transfer.spaces_used,
            "breakers": [
                {
                    "place": breaker.place,
                    "poles": breaker.poles,
                    "rating_a": breaker.rating_a,
                    "feeds": breaker.feeds,
                    "back_fed": breaker.back_fed,
                }
                for breaker in design.transfer.breakers
            ],
            "because": _because(design.transfer.because, used),
        },
        "cord": _cord(design.cord, used),
        "surge_protector": _surge_protector(design.surge_protector, used),
        "circuits": [
            {
                "name": circuit.name,
                "leg": circuit.leg,
                "breaker_a": circuit.breaker_a,
                "poles": circuit.poles,
                "conductor_size": circuit.conductor_size,
                "position": circuit.position,
                "because": _because(circuit.because, used),
            }
            for circuit in design.circuits
        ],
        "runs": [_run(run, used) for run in design.runs],
        "parts": [
            {
                "kind": part.kind,
                "attributes": dict(part.attributes),
                "description": part.description,
                "quantity": plain(part.quantity),
                "unit": part.unit,
                "cuts_ft": [plain(cut) for cut in part.cuts_ft],
                "asked_by": list(part.asked_by),
                "because": _because(part.because, used),
            }
            for part in estimate.take_off.parts
        ],
        "why": {pointer: list(lines) for pointer, lines in asked_for(estimate.take_off).items()},
        "labour": [
            {
                "task": task.task,
                "code": task.code,
                "quantity": plain(task.quantity),
                "unit": task.unit,
                "hours": plain(task.hours),
                "hours_low": plain(task.hours_low),
                "hours_high": plain(task.hours_high),
                "because": _because(task.because, used),
            }
            for task in estimate.take_off.labour
        ],
    }


def _load_study(study: LoadStudy, used: set[str]) -> Json:
    return {
        "running_w": plain(study.running_w),
        "starting_peak_w": plain(study.starting_peak_w),
        "fits": study.fits,
        "legs": {
            leg: {"running_w": plain(load.running_w), "amps": plain(load.amps)}
            for leg, load in study.legs
        },
        "leave_off": list(study.leave_off),
        "runtime_h": {
            f"priority_{tier.priority}": {
                "average_w": plain(tier.average_w),
                "hours": _maybe(tier.hours),
            }
            for tier in study.runtime_h
        },
        "recharge_h": {
            "solar": _maybe(study.recharge_h.solar),
            "ac": _maybe(study.recharge_h.ac),
            "both": _maybe(study.recharge_h.both),
        },
        "lifetime_kwh": _maybe(study.lifetime_kwh),
        "cost_per_kwh": _maybe(study.cost_per_kwh),
        "because": _because(study.because, used),
    }


def _surge_protector(protector: SurgeProtector | None, used: set[str]) -> Json | None:
    if protector is None:
        return None
    return {
        "at": protector.at,
        "kinds": list(protector.kinds),
        "discharge_ka": _maybe(protector.discharge_ka),
        "because": _because(protector.because, used),
    }


def _cord(cord: CordDesign, used: set[str]) -> Json:
    return {
        "plug": cord.plug,
        "connector": cord.connector,
        "length_ft": plain(cord.length_ft),
        "conductor_size": cord.conductor_size,
        "conductors": cord.conductors,
        "ampacity_a": plain(cord.ampacity_a),
        "ambient_c": plain(cord.ambient_c),
        "heat_ampacity_a": plain(cord.heat_ampacity_a),
        "enough_without_drop": cord.enough_without_drop,
        "voltage_drop_percent": plain(cord.voltage_drop_percent),
        "voltage_drop_at_load_percent": plain(cord.voltage_drop_at_load_percent),
        "total_drop_percent": plain(cord.total_drop_percent),
        "because": _because(cord.because, used),
    }


def _run(run: RunDesign, used: set[str]) -> Json:
    return {
        "from": run.from_,
        "to": run.to,
        "wiring_method": run.wiring_method,
        "length_ft": plain(run.length_ft),
        "trade_size": run.trade_size,
        "fill_percent": _maybe(run.fill_percent),
        "fill_limit_percent": _maybe(run.fill_limit_percent),
        "bends_deg": [plain(bend) for bend in run.bends_deg],
        "pull_points": run.pull_points,
        "factory_whip": run.factory_whip,
        "current_carrying": run.current_carrying,
        "overcurrent_a": run.overcurrent_a,
        "ampacity_a": plain(run.ampacity_a),
        "voltage_drop_percent": plain(run.voltage_drop_percent),
        "voltage_drop_at_load_percent": _maybe(run.voltage_drop_at_load_percent),
        "voltage_drop_one_leg_percent": _maybe(run.voltage_drop_one_leg_percent),
        "expansion_fittings": run.expansion_fittings,
        "pull_box": None if run.pull_box is None else _pull_box(run.pull_box, used),
        "conductors": [
            {
                "role": conductor.role,
                "size": conductor.size,
                "material": conductor.material,
                "insulation": conductor.insulation,
                "colour": conductor.colour,
                "count": conductor.count,
                "length_ft": plain(conductor.length_ft),
                "serves": conductor.serves,
            }
            for conductor in run.conductors
        ],
        "because": _because(run.because, used),
    }


def _pull_box(box: PullBox, used: set[str]) -> Json:
    return {
        "straight_in": _maybe(box.straight_in),
        "angle_in": _maybe(box.angle_in),
        "volume_in3": _maybe(box.volume_in3),
        "body_area_in2": _maybe(box.body_area_in2),
        "because": _because(box.because, used),
    }


def _price(estimate: FullEstimate, used: set[str]) -> Json:
    price = estimate.price
    return {
        "currency": price.currency,
        "lines": [
            {
                "part": line.part,
                "description": line.description,
                "item": line.item,
                "item_description": line.item_description,
                "supplier": line.supplier,
                "pack": _maybe(line.pack),
                "packs": line.packs,
                "quantity_needed": plain(line.quantity_needed),
                "quantity_bought": plain(line.quantity_bought),
                "leftover": plain(line.leftover),
                "unit": line.unit,
                "unit_price": _money(line.unit_price),
                "amount": _money(line.amount),
                "price_basis": line.price_basis,
                "match": line.match,
                "match_score": _maybe(line.score),
                "match_because": list(line.reasons),
            }
            for line in price.lines
        ],
        "deliveries": [
            {"supplier": each.supplier, "fee": str(each.fee)} for each in price.deliveries
        ],
        "purchase_plan": plan_document(estimate.purchase, price),
        "groups": [
            {
                "group": group.group,
                "cost": str(group.cost),
                "overhead": str(group.overhead),
                "contingency": str(group.contingency),
                "profit": str(group.profit),
                "discount": str(group.discount),
                "net": str(group.net),
                "taxable": group.taxable,
                "sales_tax": str(group.sales_tax),
            }
            for group in price.groups
        ],
        "labour_hours": plain(price.labour_hours),
        "labour_rate": str(price.labour_rate),
        "profit_kind": price.profit_kind,
        "totals": _totals(price),
        "deposit": str(price.deposit),
        "complete": price.complete,
        "unpriced": price.unpriced,
        "proposed": price.proposed,
        "because": _because(price.because, used),
    }


def _totals(price: Price) -> Json:
    by_group = {group.group: group for group in price.groups}
    totals: Json = {name: str(group.cost) for name, group in by_group.items()}
    for column in ("overhead", "contingency", "profit", "discount", "net", "sales_tax"):
        totals[column] = str(sum((getattr(group, column) for group in price.groups), ZERO))
    totals["total"] = str(price.total)
    return totals


def _money(amount: Decimal | None) -> str | None:
    return None if amount is None else str(amount)


def _outcome(outcome: Outcome) -> Json:
    return {
        "base": str(outcome.base),
        "tentative": str(outcome.tentative),
        "amount": str(outcome.amount),
        "carryforward": _money(outcome.carryforward),
    }


def _credit(answer: CreditAnswer, used: set[str]) -> Json:
    return {
        "programme": answer.programme,
        "jurisdiction": answer.jurisdiction,
        "tax_year": answer.tax_year,
        "status": answer.status,
        "reason_codes": list(answer.reason_codes),
        "lines": [
            {
                "cost": line.cost,
                "code": line.code,
                "amount": str(line.amount),
                "status": line.status,
                "reason_code": line.reason_code,
                "in_base": line.in_base,
                "authority": line.authority,
                "because": _because(line.because, used),
            }
            for line in answer.lines
        ],
        "base": str(answer.base),
        "rate": plain(answer.rate),
        "tentative": str(answer.tentative),
        "amount": str(answer.amount),
        "amount_if_uncertain": str(answer.amount_if_uncertain),
        "carryforward": _money(answer.carryforward),
        "if_allowed": _outcome(answer.if_allowed),
        "if_everything": _outcome(answer.if_everything),
        "form_lines": [
            {
                "form": line.form,
                "line": line.line,
                "label": line.label,
                "amount": line.amount,
                "amount_if_uncertain": line.amount_if_uncertain,
            }
            for line in answer.form_lines
        ],
        "open_points": [open_point_document(point) for point in answer.open_points],
        "evidence": list(answer.evidence),
        "questions": list(answer.questions),
        "because": _because(answer.because, used),
        "caution": answer.caution,
    }
