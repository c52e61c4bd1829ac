"""What several documents on paper say in the same way."""

from collections.abc import Sequence

from estimator.documents.cautions import cautions_for
from estimator.documents.pictures.one_line_words import by_position
from estimator.documents.records import FullEstimate
from estimator.finding import Finding


def cautions(estimate: FullEstimate) -> list[dict[str, str]]:
    """The cautions of the job, the most severe first."""
    return [{"severity": one.severity, "text": one.text} for one in cautions_for(estimate.job)]


def errors(estimate: FullEstimate) -> list[dict[str, str]]:
    """The findings that stand against building what is described."""
    return findings([one for one in estimate.findings if one.severity == "error"])


def findings(found: Sequence[Finding]) -> list[dict[str, str]]:
    """Findings as the templates set them."""
    return [
        {"severity": one.severity, "text": one.message, "remedy": one.remedy, "where": one.where}
        for one in found
    ]


def circuit_words(estimate: FullEstimate) -> list[dict[str, str]]:
    """The circuits in the order of their positions."""
    return [
        {
            "position": "" if one.position == "as wired" else one.position or "not placed",
            "name": one.name,
            "breaker": f"{one.breaker_a} A",
            "poles": str(one.poles),
            "leg": one.leg,
            "wire": one.conductor_size,
        }
        for one in by_position(estimate)
    ]
