"""A check-up of price lists: what was read, and which of the parts asked for they can serve."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from estimator.catalogue.match import ItemIndex
from estimator.catalogue.purchase import plan_purchase
from estimator.catalogue.records import MatchKind, PriceBasis, PriceList, Purchase, ReadFrom
from estimator.finding import Finding
from estimator.takeoff.records import Part


@dataclass(frozen=True, slots=True)
class ListCheck:
    """One list: how many items by where their kind was read, and by what a price is for."""

    price_list: PriceList
    read_from: Mapping[ReadFrom, int]
    price_basis: Mapping[PriceBasis, int]


@dataclass(frozen=True, slots=True)
class CatalogueCheck:
    """Price lists held against parts. matches: one for each different part, in their order.

    jobs: names of the jobs that the parts are from. findings: what the lists have to tell.
    """

    lists: tuple[ListCheck, ...]
    jobs: tuple[str, ...]
    matches: tuple[Purchase, ...]
    findings: tuple[Finding, ...]

    def count(self, match: MatchKind) -> int:
        """Parts with this match."""
        return sum(purchase.match == match for purchase in self.matches)


def check_lists(
    lists: Sequence[PriceList], index: ItemIndex, parts: Iterable[Part], jobs: Sequence[str]
) -> CatalogueCheck:
    """The lists, indexed in one currency, held against the different ones of the parts."""
    different: dict[tuple[str, object], Part] = {}
    for part in parts:
        different.setdefault((part.kind, part.attributes), part)
    plan = plan_purchase(tuple(different.values()), index)
    return CatalogueCheck(
        lists=tuple(_check_list(each) for each in lists),
        jobs=tuple(jobs),
        matches=plan.purchases,
        findings=plan.findings,
    )


def _check_list(price_list: PriceList) -> ListCheck:
    return ListCheck(
        price_list,
        Counter(item.read_from for item in price_list.items),
        Counter(item.price_basis for item in price_list.items),
    )
