"""The surge protector that the design asks for."""

from estimator.basis import because
from estimator.takeoff.taking import Taking


def take_surge_protector(taking: Taking) -> None:
    """The smallest stocked protector that has the discharge current asked for, and its fitting."""
    wanted = taking.design.surge_protector
    if wanted is None:
        return
    least = wanted.discharge_ka or 0
    stocked = taking.tables.surge_protectors
    row = next((row for row in stocked if row.discharge_ka >= least), stocked[-1])
    reason = because(
        "Fitted in or beside the equipment; one that is landed on lugs or plugs on, so that it "
        "takes no breaker of its own.",
        row.source,
        discharge_ka=row.discharge_ka,
    )
    values = {
        "types": " or ".join(map(str, wanted.kinds)),
        "discharge_ka": str(row.discharge_ka),
    }
    pointer = f"/{wanted.at}"
    taking.parts.add("surge_protector", values, 1, pointer, *wanted.because, reason)
    taking.work.add("fit_surge_protector", 1, reason)
