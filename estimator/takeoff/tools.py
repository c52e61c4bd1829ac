"""The tools that a job asks of one who does it alone, from its parts and tasks."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cache, lru_cache
from itertools import accumulate

from estimator.basis import Because, because
from estimator.finding import Finding
from estimator.job.records import Job
from estimator.published.sources import load_sources
from estimator.published.tables import package_text, read_table
from estimator.takeoff.records import Attributes, LabourTask, Part, ToolNeed

Trigger = tuple[frozenset[str], ...]


@dataclass(frozen=True, slots=True)
class ToolRow:
    """A tool with what asks for it and what it costs [US dollars].

    trigger: alternatives parted by " | ", each of facts joined by " & ". A fact is "always",
    "task CODE", "factor NAME", or a kind of part with the first of its values ("raceway EMT").
    better: a tool that does the work of this one too. rent_days: days in use; both rent
    columns are blank for what nobody rents out.
    """

    tool: str
    description: str
    trigger: str
    better: str | None
    buy_low: Decimal
    buy: Decimal
    buy_high: Decimal
    rent_per_day: Decimal | None
    rent_days: int | None
    why: str
    why_source: str
    source: str


@dataclass(frozen=True, slots=True)
class KnownTool:
    """A tool with what asks for it. need: of one who has not got it."""

    need: ToolNeed
    trigger: Trigger
    better: str | None


@dataclass(frozen=True, slots=True)
class Tools:
    """Every known tool, in the order of the table."""

    known: tuple[KnownTool, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """The names that comparison.tools_owned may use."""
        return tuple(tool.need.tool for tool in self.known)


@cache
def load_tools() -> Tools:
    """The package's own table, read once in a process. Raises TableError."""
    name = "tools.csv"
    sources = load_sources()
    text = package_text("estimator.takeoff", f"tables/{name}")
    rows = read_table(text, ToolRow, name=name, key=("tool",), sources=sources)
    return Tools(tuple(KnownTool(_need(row), _trigger(row.trigger), row.better) for row in rows))


def tools_needed(
    job: Job, parts: Sequence[Part], tasks: Sequence[LabourTask], tools: Tools
) -> tuple[ToolNeed, ...]:
    """Each tool that the parts and tasks ask for, those at hand marked as owned."""
    facts = _facts(job, parts, tasks)
    wanted = [tool for tool in tools.known if any(asked <= facts for asked in tool.trigger)]
    names = {tool.need.tool for tool in wanted}
    owned = set(job.comparison.tools_owned)
    return tuple(
        replace(tool.need, owned=True)
        if tool.need.tool in owned or tool.better in owned
        else tool.need
        for tool in wanted
        if tool.better not in names
    )


def unknown_tools(job: Job, tools: Tools) -> Iterator[Finding]:
    """A note for each tool at hand that the table does not know."""
    known = tools.names
    for place, name in enumerate(job.comparison.tools_owned):
        if name not in known:
            yield Finding(
                "note",
                "TOOL_NOT_KNOWN",
                f"{name!r} is not a tool that we know, so it takes nothing off the tools to buy "
                "or rent.",
                f"/comparison/tools_owned/{place}",
                "common_practice",
                f"Use names from this list: {', '.join(known)}.",
            )


def _facts(job: Job, parts: Iterable[Part], tasks: Iterable[LabourTask]) -> set[str]:
    facts = {"always"}
    facts.update([f"task {task.code}" for task in tasks])
    facts.update([f"factor {name}" for name in job.labour.factors])
    for part in parts:
        facts.update(_facts_of(part.kind, part.attributes))
    return facts


@lru_cache(maxsize=4096)
def _facts_of(kind: str, attributes: Attributes) -> tuple[str, ...]:
    return tuple(accumulate((value for _, value in attributes), "{} {}".format, initial=kind))


def _need(row: ToolRow) -> ToolNeed:
    return ToolNeed(
        tool=row.tool,
        description=row.description,
        owned=False,
        buy_low=row.buy_low,
        buy=row.buy,
        buy_high=row.buy_high,
        rent_per_day=row.rent_per_day,
        rent_days=row.rent_days,
        because=_reasons(row),
    )


def _trigger(text: str) -> Trigger:
    return tuple(frozenset(asked.split(" & ")) for asked in text.split(" | "))


def _reasons(row: ToolRow) -> tuple[Because, ...]:
    price = because(
        "What such a tool costs to buy, low, likely and high, in US dollars.",
        row.source,
        buy_low=row.buy_low,
        buy=row.buy,
        buy_high=row.buy_high,
    )
    reasons = (because(row.why, row.why_source), price)
    if row.rent_per_day is None or row.rent_days is None:
        return reasons
    rent = because(
        "What it costs to rent, in US dollars.",
        row.source,
        rent_per_day=row.rent_per_day,
        days=row.rent_days,
    )
    return (*reasons, rent)
