"""What the steps of one take-off share: the job, its design, the tables and the lists they fill."""

from dataclasses import dataclass, field
from decimal import Decimal

from estimator.finding import Finding, Severity
from estimator.job.records import Exposure, Job, Place
from estimator.sizing.records import Design, RunDesign
from estimator.takeoff.parts_list import PartsList
from estimator.takeoff.small_counts import FastenerCount, Tally
from estimator.takeoff.table_rows import MethodRow
from estimator.takeoff.tables import TakeOffTables
from estimator.takeoff.work_list import WorkList


@dataclass(slots=True)
class Taking:
    """One take-off in progress; lives only inside take_off."""

    job: Job
    design: Design
    tables: TakeOffTables
    parts: PartsList
    fasteners: FastenerCount = field(default_factory=FastenerCount)
    consumables: dict[str, Tally] = field(default_factory=dict)
    work: WorkList = field(default_factory=WorkList)
    findings: list[Finding] = field(default_factory=list)

    @property
    def manual_switch(self) -> bool:
        """Whether the transfer equipment is the per-circuit switch."""
        return self.job.transfer.method == "manual_switch"

    @property
    def moves_circuits(self) -> bool:
        """Whether circuits leave their breakers in the load centre or are led past them."""
        return self.job.transfer.method in ("manual_switch", "subpanel")

    def allowance(self, name: str) -> Decimal:
        """A figure of allowances.csv."""
        return self.tables.allowances[name].value

    def method(self, run: RunDesign) -> MethodRow:
        """How the run is put together."""
        return self.tables.methods[run.wiring_method]

    def find(
        self, severity: Severity, code: str, message: str, where: str, source: str, remedy: str
    ) -> None:
        """Tell the user something."""
        self.findings.append(Finding(severity, code, message, where, source, remedy))


def in_weather(exposure: Exposure, place: Place) -> bool:
    """Whether fittings there must keep water out: wet places, outdoors and underground."""
    return exposure == "wet" or place != "indoor"


def run_pointer(run: RunDesign) -> str:
    """Where the run stands in the job and in the estimate."""
    return f"/runs/{run.index}"
