"""Service-entrance cable with a bare conductor (SEU): told of runs, and why it cannot be used."""

from collections.abc import Iterator, Mapping
from typing import Any

from estimator.finding import Finding

SERVICE_CABLE = "SEU"
_INSULATED = "SER"


def insulated(wiring_method: str) -> Any:
    """The wiring method that is designed: for SEU the cable with an insulated neutral, SER."""
    return _INSULATED if wiring_method == SERVICE_CABLE else wiring_method


def bare_neutrals(told: Mapping[str, Any]) -> Iterator[Finding]:
    """An error for each run that was told in SEU; the rest is designed with SER."""
    for at, run in enumerate(told.get("runs") or ()):
        if run.get("wiring_method") == SERVICE_CABLE:
            yield Finding(
                severity="error",
                code="BARE_NEUTRAL",
                message="SEU has two insulated conductors and a bare one, which can be the ground "
                "only; a feed of 120/240 V needs an insulated neutral and a ground apart from it",
                where=f"/runs/{at}/wiring_method",
                source="nec_338_10_b2",
                remedy="Use SER, which has both; the estimate goes on with it. Another cable or "
                "conductors in a raceway will do too.",
            )
