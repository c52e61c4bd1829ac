"""The front door of the room: the ways to get one job done, side by side.

1. "own": parts at the prices of the lists in whole packs, sales tax, tools that are not at
   hand (bought or rented, whichever is cheaper), permit. Own hours are counted and, where the
   job tells what one is worth, valued; they are no cost and earn no credit.
2. "hire": the price of the estimate on a contractor's terms; other quotes beside it.
3. "cords_only": extension cords to what has a plug; what is left out stands with it.

The price of the supply, where told, is in each of them, since its credit is too.
"""

from dataclasses import replace

from estimator.basis import because
from estimator.compare.cords_way import cords_way
from estimator.compare.drafts import Draft
from estimator.compare.hire_way import hire_way
from estimator.compare.inputs import Compared, CreditOf
from estimator.compare.own_way import own_way
from estimator.compare.records import Way
from estimator.compare.settle import break_even, quotes_beside, settle
from estimator.compare.tables import CompareTables
from estimator.credits.records import CreditTotal
from estimator.takeoff.tables import TakeOffTables


def compare_ways(
    compared: Compared,
    credit: CreditTotal,
    credit_of: CreditOf,
    tables: CompareTables,
    units: TakeOffTables,
) -> tuple[Way, ...]:
    """The ways "own", "hire" and "cords_only", in this order.

    credit: what the costs of the job as it was estimated bring. credit_of: the same for the
    costs of another way. units: for the labour units and factors. What cannot be known
    stands in the ways' not_known; nothing is raised for a job. Sources: in each way.
    """
    study = compared.design.load_study
    given, hired = compared.given, compared.hired

    def settled(draft: Draft, known: CreditTotal | None = None) -> Way:
        return settle(draft, known or credit_of(draft.job, draft.cost_lines()), study, tables)

    own = settled(own_way(given, tables, units))
    hire = settled(hire_way(hired, tables), credit if given is hired else None)
    worth, reason = break_even(own, hire)
    if reason is not None:
        own = replace(own, break_even_hour_value=worth, because=(*own.because, reason))
    quotes = quotes_beside(own, given.job)
    if quotes:
        beside = because(
            "Quotes of others as told. Their split into costs is not known, so no credit is worked "
            "out on them.",
            "job_description",
            quotes=len(quotes),
        )
        hire = replace(hire, hire_quotes=quotes, because=(*hire.because, beside))
    return own, hire, settled(cords_way(given, tables))
