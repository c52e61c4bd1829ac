"""What a programme of one's own gives, in words."""

from collections.abc import Iterator, Sequence
from datetime import date

from estimator.basis import Because, because
from estimator.credits.programme_amounts import Costs, costs_for, counts
from estimator.credits.programme_judgement import JudgedProgramme
from estimator.credits.records import CostLine, CreditAnswer, CreditLine, OpenPoint, Outcome, Status
from estimator.credits.rules import CreditRules

CAUTION = (
    "A programme of your own, worked out as its file says; nothing in the file was checked "
    "here. Not tax advice: ask whoever runs the programme before you count on it."
)


def programme_answer(
    judged: JudgedProgramme, costs: Sequence[CostLine], rules: CreditRules, today: date
) -> CreditAnswer:
    """The answer of one programme, with its words. rules: for the labels of the costs.

    The sure amount supposes that the programmes before it give the most they may, the higher
    amount that they give the least.
    """
    case, programme = judged.case, judged.case.programme
    sure, hopeful = judged.sure, judged.hopeful
    everything = Outcome(hopeful.base, hopeful.tentative, hopeful.amount, hopeful.carryforward)
    return CreditAnswer(
        programme=programme.name,
        jurisdiction=programme.jurisdiction,
        tax_year=case.day.year if case.day_known else None,
        status=judged.status,
        reason_codes=tuple(one.code for one in judged.found),
        lines=tuple(_line(cost, judged, rules) for cost in costs),
        base=sure.base,
        rate=hopeful.rate,
        tentative=sure.tentative,
        amount=sure.amount,
        amount_if_uncertain=hopeful.amount,
        carryforward=sure.carryforward,
        form_lines=(),
        evidence=() if judged.status == "not_eligible" else programme.evidence,
        questions=tuple(_questions(judged, costs)),
        because=tuple(_explanation(judged, costs, today)),
        caution=f"{CAUTION} Its file was last checked on {programme.checked_on.isoformat()}.",
        if_allowed=everything,
        if_everything=everything,
        open_points=tuple(_open_points(judged)),
    )


def _line(cost: CostLine, judged: JudgedProgramme, rules: CreditRules) -> CreditLine:
    programme = judged.case.programme
    counted = counts(cost, programme)
    if programme.kind == "sales_tax_exemption":
        counted = counted and bool(cost.on)
    status: Status = judged.status if counted else "not_eligible"
    code = "COST_COUNTS" if counted else "COST_LEFT_OUT"
    if counted and judged.found:
        code = judged.found[0].code
    text = "The programme counts this cost." if counted else "The programme leaves this cost out."
    label = rules.cost_kind(cost.code).label
    if cost.on:
        label = f"{label} on: {rules.cost_kind(cost.on).label}"
    return CreditLine(
        cost=cost.description or (label if cost.priced else f"{label} (no price yet)"),
        code=cost.code,
        amount=cost.amount,
        status=status,
        reason_code=code,
        authority=programme.authority,
        because=(because(text, "own_programme"), *cost.because),
        in_base=counted and status != "not_eligible",
    )


def _questions(judged: JudgedProgramme, costs: Sequence[CostLine]) -> Iterator[str]:
    case, programme = judged.case, judged.case.programme
    yield from (one.ask for one in judged.found if one.ask)
    if judged.status == "not_eligible":
        return
    if not programme.refundable and case.amount("tax_limit") is None:
        yield (
            f"{programme.name}: how much tax is left for it? Without that the amount that can "
            "be used this year is not known."
        )
    if _unpriced(judged, costs):
        yield f"{programme.name}: price the costs that have no price yet; its base lacks them."
    if case.facts.planned:
        yield f"{programme.name}: confirm the day of completion when the work is done."


def _unpriced(judged: JudgedProgramme, costs: Sequence[CostLine]) -> int:
    return sum(not cost.priced and counts(cost, judged.case.programme) for cost in costs)


def _explanation(
    judged: JudgedProgramme, costs: Sequence[CostLine], today: date
) -> Iterator[Because]:
    case, programme = judged.case, judged.case.programme
    yield from (one.because for one in judged.found)
    if judged.status != "not_eligible":
        seen = costs_for(programme, costs)
        yield _on_amount(judged, seen)
        for name, most in judged.hopeful.capped_by:
            yield because(f"It is held by {name}.", "own_programme", most=most)
        if judged.status == "eligible" and judged.lowest.tentative != judged.hopeful.tentative:
            yield because(
                "What programmes before it in the stacking order give is open, and lowers it.",
                "own_programme",
                least=judged.lowest.tentative,
                most=judged.hopeful.tentative,
            )
        yield from _on_use(judged)
        if case.facts.planned:
            yield because(
                "The completion day lies ahead: this is the answer under the programme as it "
                "stands today, and it holds only if the work is finished on that day.",
                "own_programme",
                today=today.isoformat(),
            )
    if case.day_known and case.day.year > programme.checked_on.year:
        yield because(
            "The programme was not checked for this year.",
            "own_programme",
            day=case.day.isoformat(),
            checked_on=programme.checked_on.isoformat(),
        )


def _on_amount(judged: JudgedProgramme, seen: Costs) -> Because:
    case, given = judged.case, judged.hopeful
    kind = case.programme.kind
    if kind == "per_kwh":
        return because(
            "An amount for each kWh, step by step; for a capacity that is not told, the most "
            "that it may be.",
            "own_programme",
            kwh="not told" if case.kwh is None else case.kwh,
            amount=given.tentative,
        )
    if kind == "flat":
        return because("A flat amount.", "own_programme", amount=given.tentative)
    if kind == "sales_tax_exemption":
        return because(
            "The sales tax on the costs that count is not charged; the price of the supply as "
            "told has its tax in it and is not divided.",
            "own_programme",
            sales_tax=seen.sales_tax,
            share=given.rate,
        )
    return because(
        "A share of the costs that count, less what comes off them first.",
        "own_programme",
        costs=seen.counted,
        base=given.base,
        rate=given.rate,
    )


def _on_use(judged: JudgedProgramme) -> Iterator[Because]:
    programme = judged.case.programme
    yield because(_EFFECTS[programme.effect_on_federal_base], "own_programme")
    if programme.refundable:
        return
    years = programme.carryforward_years
    rest = f"can be used for {years} more years" if years else "is lost"
    yield because(
        f"It is limited by the tax; what the tax does not take up {rest}.", "own_programme"
    )


_EFFECTS = {
    "subtract": "It comes off the base of the federal credit.",
    "keep": "It stays in the base of the federal credit.",
    "ask": "Whether it comes off the base of the federal credit is open.",
}


def _open_points(judged: JudgedProgramme) -> Iterator[OpenPoint]:
    if judged.status != "uncertain":
        return
    programme = judged.case.programme
    alone = len(judged.found) == 1
    for one in judged.found:
        yield OpenPoint(
            code=one.code,
            concerns=one.because.text,
            for_text="Where the answer is what the programme asks for, it pays by its own rules.",
            for_authority=programme.authority,
            against_text="Where it is not, the programme pays nothing.",
            against_authority=programme.authority,
            settled_by=one.ask,
            amount_against=judged.sure.amount,
            amount_for=judged.hopeful.amount,
            supposing="the programme has no other open point"
            if alone
            else "the other open points of the programme go the same way",
        )
