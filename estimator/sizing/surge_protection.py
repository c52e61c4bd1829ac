"""The surge protector that new distribution or service equipment of a dwelling has to have."""

from estimator.basis import because
from estimator.finding import Finding
from estimator.job.records import Job
from estimator.sizing.equipment import Equipment
from estimator.sizing.records import SurgeProtector
from estimator.sizing.tables import SizingTables
from estimator.units import plain

KINDS = (1, 2)
# A protector beside a panel is usually led to a two-pole breaker of its own.
BREAKER_SPACES = 2


def surge_protector_for(job: Job, tables: SizingTables) -> SurgeProtector | None:
    """The protector that the code asks for; None where nothing that wants one is new.

    A subpanel is new distribution equipment on a feeder. An automatic switch ahead of a service
    panel takes the service disconnect and so replaces service equipment. With all other kinds
    the load centre stays what it is. Source: 215.18, 230.67.
    """
    rules = tables.editions[job.site.code_edition]
    method = job.transfer.method
    if method == "subpanel" and rules.feeder_surge_protection:
        text, source = "A feeder to new distribution equipment of a dwelling", "nec_spd_feeder"
    elif method == "automatic_switch" and job.load_centre.role == "service":
        text, source = "New service equipment of a dwelling", "nec_spd_service"
    else:
        return None
    least = rules.surge_discharge_min_ka
    figures = {} if least is None else {"discharge_ka": least}
    return SurgeProtector(
        "transfer",
        KINDS,
        least,
        (because(f"{text} has a surge protector of type 1 or 2", source, **figures),),
    )


def check_surge_protection(
    job: Job, protector: SurgeProtector | None, equipment: Equipment, tables: SizingTables
) -> tuple[Finding, ...]:
    """A warning that the equipment needs its protector, with where it may be left out."""
    if protector is None:
        return ()
    title = tables.editions[job.site.code_edition].title
    rated = (
        ""
        if protector.discharge_ka is None
        else f" and a nominal discharge current of {plain(protector.discharge_ka)} kA or more"
    )
    if job.transfer.method == "subpanel":
        what = "a new subpanel on a feeder of a dwelling"
        remedy = (
            "Fit it in or beside the subpanel; one at the service does not serve instead. "
            + _spaces(equipment)
        )
    else:
        what = "new service equipment of a dwelling"
        remedy = (
            "Fit it at the switch, or leave it out and keep the one in the load centre if there "
            "is one: each distribution equipment next to the service having its own is the "
            "exception."
        )
    return (
        Finding(
            "warning",
            "SURGE_PROTECTION",
            f"{title}: {what} needs a surge protector of type 1 or 2{rated}; one without a "
            "breaker of its own is among the parts.",
            "/transfer/method",
            protector.because[0].source,
            remedy,
        ),
    )


def _spaces(equipment: Equipment) -> str:
    left = max(0, equipment.positions - equipment.needed)
    room = "has" if left >= BREAKER_SPACES else "then has to have"
    return (
        f"Where it wants a two-pole breaker, the subpanel {room} {BREAKER_SPACES} spaces for it "
        f"({left} are left)."
    )
