"""The places on the way of the current, and which of them a pointer into the job is about."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from estimator.job.records import Job

PlaceName = Literal["supply", "cord", "inlet", "run", "transfer", "load_centre", "circuits", "job"]


@dataclass(frozen=True, slots=True)
class Place:
    """A place. name: used in addresses. number: of a run, from 0, None elsewhere."""

    kind: PlaceName
    title: str
    number: int | None = None

    @property
    def name(self) -> str:
        """Its name in addresses."""
        return self.kind if self.number is None else f"{self.kind}-{self.number}"


def places_of(job: Job) -> tuple[Place, ...]:
    """All places in the order in which the current meets them, the job as a whole last."""
    to_switch = [place for place, run in enumerate(job.runs) if run.from_ == "inlet"]
    after = [place for place in range(len(job.runs)) if place not in to_switch]
    route = _route(to_switch, after, transfer=job.transfer.method != "interlock")
    return (*route, Place("job", "The whole job"))


def _route(
    to_switch: Sequence[int], after: Sequence[int], *, transfer: bool = True
) -> tuple[Place, ...]:
    """The places with the runs before and after the transfer equipment, by their numbers."""
    return (
        Place("supply", "Supply"),
        Place("cord", "Cord"),
        Place("inlet", "Inlet"),
        *(Place("run", f"Run {place + 1}", place) for place in to_switch),
        *((Place("transfer", "Transfer"),) if transfer else ()),
        *(Place("run", f"Run {place + 1}", place) for place in after),
        Place("load_centre", "Load centre"),
        Place("circuits", "Circuits"),
    )


# As it usually is, before anything is known of a job.
ROUTE = _route((0,), (1,))


def place_name(pointer: str) -> str:
    """Name of the place that a JSON pointer into the job is about."""
    words = pointer.strip("/").split("/")
    first = words[0]
    if first == "runs" and len(words) > 1 and words[1].isdigit():
        return f"run-{words[1]}"
    known = {
        "supply": "supply",
        "direct_loads": "supply",
        "cord_length_ft": "cord",
        "inlet": "inlet",
        "run_length_ft": "run-0",
        "transfer": "transfer",
        "load_centre": "load_centre",
        "circuits": "circuits",
    }
    return known.get(first, "job")
