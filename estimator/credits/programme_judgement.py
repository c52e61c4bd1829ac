"""The verdict and the money of each programme of one's own, one after the other."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from estimator.credits.programme_amounts import NO_GRANT, Costs, Grant, costs_for, grant
from estimator.credits.programme_facts import Told
from estimator.credits.programme_reasons import Asked, Doubt, asked, doubts, served_classes
from estimator.credits.programmes import Programme
from estimator.credits.records import ClaimFacts, CostLine, OwnIncentive, Status
from estimator.credits.rules import CreditRules
from estimator.money import ZERO


@dataclass(frozen=True, slots=True)
class JudgedProgramme:
    """A programme with its verdict and its money under three readings.

    found: the reasons behind the verdict. lowest: the programmes before it give the most they
    may. hopeful: they give the least. together: every one of them gives what it hopes for.
    """

    case: Asked
    status: Status
    found: tuple[Doubt, ...]
    lowest: Grant
    hopeful: Grant
    together: Grant

    @property
    def sure(self) -> Grant:
        """What it gives for certain."""
        return self.lowest if self.status == "eligible" else NO_GRANT

    @property
    def incentive(self) -> OwnIncentive:
        """What it does to the base of the federal credit, taken by itself."""
        return self._incentive(self.sure.tentative, self.hopeful.tentative)

    @property
    def incentive_together(self) -> OwnIncentive:
        """What it does to that base where every programme gives what it hopes for."""
        given = self.together.tentative
        return self._incentive(given, given)

    def _incentive(self, least: Decimal, most: Decimal) -> OwnIncentive:
        programme = self.case.programme
        return OwnIncentive(programme.name, programme.effect_on_federal_base, least, most)


def judge_programmes(
    facts: ClaimFacts,
    costs: Sequence[CostLine],
    programmes: Sequence[Programme],
    told: Mapping[str, Told],
    rules: CreditRules,
    today: date,
) -> tuple[JudgedProgramme, ...]:
    """Each programme judged, in the order given: that of stacking.

    What an earlier programme may give lowers a later one as far as its file says so. rules:
    the order of verdicts. today: stands in for a day that is not told.
    """
    judged: list[JudgedProgramme] = []
    least = most = together = ZERO
    for programme in programmes:
        case = asked(programme, facts, told, today)
        one = _judge(case, costs, (most, least, together), rules)
        judged.append(one)
        least += one.sure.tentative
        most += one.hopeful.tentative
        together += one.together.tentative
    return tuple(judged)


def _judge(
    case: Asked,
    costs: Sequence[CostLine],
    earlier: tuple[Decimal, Decimal, Decimal],
    rules: CreditRules,
) -> JudgedProgramme:
    found = doubts(case)
    status = rules.worst(*(one.verdict for one in found))
    deciding = tuple(one for one in found if one.verdict == status)
    if status == "not_eligible":
        return JudgedProgramme(case, status, deciding, NO_GRANT, NO_GRANT, NO_GRANT)
    seen = costs_for(case.programme, costs)
    most, least, together = earlier
    return JudgedProgramme(
        case,
        status,
        deciding,
        min(_grants(case, seen, most), key=_tentative, default=NO_GRANT),
        max(_grants(case, seen, least), key=_tentative, default=NO_GRANT),
        max(_grants(case, seen, together), key=_tentative, default=NO_GRANT),
    )


def _grants(case: Asked, seen: Costs, earlier: Decimal) -> list[Grant]:
    return [grant(case, name, seen, earlier) for name in served_classes(case)]


def _tentative(given: Grant) -> Decimal:
    return given.tentative
