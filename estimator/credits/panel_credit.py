"""What the home improvement credit gives for panel work."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from estimator.basis import Because, because
from estimator.credits.claim_reasons import home_reasons, place_reasons
from estimator.credits.panel_amounts import ImprovementYear, improvement_year, panel_share, terms_on
from estimator.credits.panel_rules import PanelReason, PanelRules
from estimator.credits.programme_facts import Told, told_amount
from estimator.credits.records import (
    ClaimFacts,
    CreditAnswer,
    CreditLine,
    FormLine,
    OpenPoint,
    Outcome,
    Status,
)
from estimator.credits.rules import CreditRules, Reason
from estimator.money import ZERO, to_cents

_NOT_KNOWN = "not known"
_COUNTS = because("Equipment and labour of the panel work count together.", "usc_25c_d1")
_COUNTS_CITED = "26 USC 25C, (d)(1)"


@dataclass(frozen=True, slots=True)
class PanelClaim:
    """The answer on the panel and the year under both readings."""

    answer: CreditAnswer
    sure: ImprovementYear
    hopeful: ImprovementYear

    def remaining_of(self, facts: ClaimFacts) -> ClaimFacts:
        """The facts of a claim with the tax limit lowered by what the panel surely takes."""
        return _lowered(facts, self.answer.amount)

    def remaining_if_allowed_of(self, facts: ClaimFacts) -> ClaimFacts:
        """The same by what the panel takes if it is allowed."""
        return _lowered(facts, self.answer.amount_if_uncertain)


def _lowered(facts: ClaimFacts, by: Decimal) -> ClaimFacts:
    if facts.tax_limit is None or not by:
        return facts
    return replace(facts, tax_limit=facts.tax_limit - by, panel_credit=by)


@dataclass(frozen=True, slots=True)
class _Case:
    """A panel claim with what was found about it.

    day: complete and placed in service; the last day that counts while that is not known.
    """

    facts: ClaimFacts
    told: Mapping[str, Told]
    day: date
    tax_year: int | None
    found: tuple[PanelReason | Reason, ...]
    status: Status


def assess_panel(
    facts: ClaimFacts,
    told: Mapping[str, Told],
    rules: PanelRules,
    home: CreditRules,
    today: date,
) -> PanelClaim:
    """What panel work gives: status, item, yearly cap, tax limit; nothing is carried forward.

    told: other_improvement_credits and heat_pump_cost of the year [USD]; without the first
    the room under the yearly cap is open. home: rules of residence, place and verdict order.
    The panel takes from the tax limit first, since the residential credit can be carried on.
    Source: 26 USC 25C.
    """
    case = _case(facts, told, rules, home)
    sure, hopeful = _years(case, rules)
    # Nothing of the panel is in the year that is not sure, and in neither when it is refused.
    amount, most = panel_share(sure), panel_share(hopeful)
    base = sure_base = ZERO
    if case.status != "not_eligible":
        base = _base(case, rules)
        sure_base = base if case.status == "eligible" else ZERO
    rate = ZERO if case.status == "not_eligible" else rules.rate.on(case.day).value
    everything = Outcome(base, hopeful.panel, most, ZERO)
    answer = CreditAnswer(
        programme=rules.programme,
        jurisdiction=rules.jurisdiction,
        tax_year=case.tax_year,
        status=case.status,
        reason_codes=tuple(dict.fromkeys(one.code for one in _deciding(case))),
        lines=(_line(case, rules),),
        base=sure_base,
        rate=rate,
        tentative=sure.panel,
        amount=amount,
        amount_if_uncertain=most,
        carryforward=ZERO,
        form_lines=_form(case, sure, hopeful, rules),
        evidence=() if case.status == "not_eligible" else rules.evidence,
        questions=tuple(dict.fromkeys(_questions(case, rules))),
        because=tuple(_explanation(case, hopeful, rules, today)),
        caution=f"{rules.caution} Rules last checked on {rules.checked_on.isoformat()}.",
        if_allowed=everything,
        if_everything=everything,
        open_points=_open_points(case, amount, most, rules, home),
    )
    return PanelClaim(answer, sure, hopeful)


def _case(
    facts: ClaimFacts, told: Mapping[str, Told], rules: PanelRules, home: CreditRules
) -> _Case:
    completed = facts.completed_on
    in_service = facts.placed_in_service_on or completed
    if completed is None or in_service is None:
        day, year = rules.last_day, None
    else:
        day, year = max(completed, in_service), completed.year
    found: list[PanelReason | Reason] = [*_day_reasons(facts, day, rules)]
    found += [one.reason for one in place_reasons(facts, home)]
    found += [one.reason for one in home_reasons(facts, home)]
    found += _panel_reasons(facts, day, rules)
    if told_amount(told, "other_improvement_credits") is None:
        found.append(rules.reasons["OTHER_ITEMS_UNKNOWN"])
    status = home.worst(*(one.verdict for one in found))
    return _Case(facts, told, day, year, tuple(found), status)


def _day_reasons(facts: ClaimFacts, day: date, rules: PanelRules) -> Iterator[PanelReason]:
    if facts.completed_on is None:
        yield rules.reasons["PANEL_DAY_UNKNOWN"]
    elif day > rules.last_day:
        yield rules.reasons["ENDED_25C"]
    elif day < rules.first_day:
        yield rules.reasons["BEFORE_2023_PANEL"]
    elif facts.completed_on < rules.first_day:
        yield rules.reasons["PANEL_SPLIT_YEAR"]


def _panel_reasons(facts: ClaimFacts, day: date, rules: PanelRules) -> Iterator[PanelReason]:
    if rules.first_day <= day and facts.panel_amps < rules.minimum_amps.on(day).value:
        yield rules.reasons["PANEL_LT_200A"]
    known = [rules.enables[code] for code in facts.panel_enables if code in rules.enables]
    if any(one.counts for one in known):
        return
    only = known and len(known) == len(facts.panel_enables)
    yield rules.reasons["PANEL_ONLY_FOR_BATTERY" if only else "PANEL_ENABLES_UNKNOWN"]


def _deciding(case: _Case) -> list[PanelReason | Reason]:
    return [one for one in case.found if one.verdict == case.status]


def _base(case: _Case, rules: PanelRules) -> Decimal:
    share = case.facts.nonbusiness_share
    full = share >= rules.full_base_share.on(case.day).value
    return to_cents(case.facts.panel_cost if full else case.facts.panel_cost * share)


def _years(case: _Case, rules: PanelRules) -> tuple[ImprovementYear, ImprovementYear]:
    """The year with the panel as sure as it is, and with every open point allowed."""
    day = min(max(case.day, rules.first_day), rules.last_day)
    terms = terms_on(day, rules)
    other = told_amount(case.told, "other_improvement_credits")
    heat_pumps = told_amount(case.told, "heat_pump_cost") or ZERO
    limit = case.facts.tax_limit
    base = ZERO if case.status == "not_eligible" else _base(case, rules)
    sure_base = base if case.status == "eligible" else ZERO
    return (
        improvement_year(sure_base, other or ZERO, heat_pumps, limit, terms),
        improvement_year(base, other or ZERO, heat_pumps, limit, terms),
    )


def _line(case: _Case, rules: PanelRules) -> CreditLine:
    deciding = _deciding(case)
    first = deciding[0] if deciding and case.status != "eligible" else None
    reason = first.because if first else _COUNTS
    return CreditLine(
        cost=rules.cost_label,
        code="panel_replacement",
        amount=case.facts.panel_cost,
        status=case.status,
        reason_code=first.code if first else "COST_COUNTS",
        authority=first.authority if first else _COUNTS_CITED,
        because=(reason, because("The cost as told.", "job_description")),
        in_base=case.status != "not_eligible",
    )


def _form(
    case: _Case, sure: ImprovementYear, hopeful: ImprovementYear, rules: PanelRules
) -> tuple[FormLine, ...]:
    if case.status == "not_eligible":
        return ()
    base = str(_base(case, rules))
    low, high = _form_amounts(sure), _form_amounts(hopeful)
    low["cost"], high["cost"] = base if case.status == "eligible" else "0.00", base
    if told_amount(case.told, "other_improvement_credits") is None:
        low["bucket_sum"] = high["bucket_sum"] = low["bucket"] = high["bucket"] = _NOT_KNOWN
    rows = rules.form_rows.get(case.tax_year or 0, ())
    return tuple(
        FormLine(rules.form, row.line, row.label, low[row.item], high[row.item]) for row in rows
    )


def _form_amounts(year: ImprovementYear) -> dict[str, str]:
    return {
        "item_credit": str(to_cents(year.panel_item)),
        "enabled_codes": "by the instructions",
        "product_number": "from the maker",
        "bucket_sum": str(to_cents(year.bucket_sum)),
        "bucket": str(to_cents(year.bucket)),
    }


def _questions(case: _Case, rules: PanelRules) -> Iterator[str]:
    yield from (one.ask for one in _deciding(case) if one.ask)
    if case.status == "not_eligible":
        return
    if case.facts.tax_limit is None:
        yield rules.questions["TAX_LIMIT"]
    if any(row.item == "product_number" for row in rules.form_rows.get(case.tax_year or 0, ())):
        yield rules.questions["PRODUCT_NUMBER"]
    if case.facts.incentives or case.facts.own_incentives:
        yield rules.questions["PANEL_INCENTIVE"]


def _explanation(
    case: _Case, year: ImprovementYear, rules: PanelRules, today: date
) -> Iterator[Because]:
    yield from (one.because for one in _deciding(case) if case.status != "eligible")
    if case.status != "not_eligible":
        yield from _on_amount(case, year, rules)
    if case.facts.planned and case.status != "not_eligible":
        yield because(
            "The completion day lies ahead: this is the answer under today's law, and it holds "
            "only if the work is finished on that day.",
            "usc_25c_h",
            today=today.isoformat(),
        )
    if case.tax_year is not None and case.tax_year > rules.checked_through_year:
        yield because(
            "The year lies after those that were checked.",
            "usc_25c_h",
            tax_year=case.tax_year,
            checked_through_year=rules.checked_through_year,
        )


def _on_amount(case: _Case, year: ImprovementYear, rules: PanelRules) -> Iterator[Because]:
    terms = terms_on(case.day, rules)
    yield because(
        "The item is the cost times the rate, at most the cap of the item.",
        "usc_25c_b",
        base=_base(case, rules),
        rate=terms.rate,
        item_cap=terms.item_cap,
        item=year.panel_item,
    )
    other = told_amount(case.told, "other_improvement_credits")
    if other is not None:
        yield because(
            "The other items of the year come first under the yearly cap; heat pumps have a cap "
            "of their own.",
            "irs_fs_2025_01_25c",
            annual_cap=terms.annual_cap,
            other_items=other,
            left_for_the_panel=year.panel,
            heat_pumps=year.heat_pumps,
            total_of_the_year=year.total,
        )
    if case.facts.nonbusiness_share < rules.full_base_share.on(case.day).value:
        yield because(
            "The home is used for business so much that only the nonbusiness share counts.",
            "usc_25c_f1",
            nonbusiness_share=case.facts.nonbusiness_share,
        )
    limit = case.facts.tax_limit
    yield because(
        "The credit is not refundable, and what the tax does not take up is lost: nothing is "
        "carried forward.",
        "irs_fs_2024_15_timing",
        tax_limit="not told" if limit is None else limit,
    )


def _open_points(
    case: _Case, amount: Decimal, most: Decimal, rules: PanelRules, home: CreditRules
) -> tuple[OpenPoint, ...]:
    if case.status != "uncertain":
        return ()
    deciding = {one.code: one for one in _deciding(case)}
    supposing = (
        "the claim has no other open point"
        if len(deciding) == 1
        else "the other open points of the claim go the same way"
    )
    return tuple(
        OpenPoint(
            code=code,
            concerns=one.because.text,
            for_text=sides.for_text,
            for_authority=sides.for_authority,
            against_text=sides.against_text,
            against_authority=sides.against_authority,
            settled_by=sides.settled_by,
            amount_against=amount,
            amount_for=most,
            supposing=supposing,
        )
        for code, one in deciding.items()
        for sides in (rules.open_sides.get(code) or home.open_sides[code],)
    )
