"""Circuits that share a neutral, paired from what the job says of either half."""

from collections.abc import Sequence

from estimator.finding import Finding
from estimator.job.records import Circuit

Pair = tuple[int, int]


def shared_neutral_pairs(
    circuits: Sequence[Circuit],
) -> tuple[tuple[Pair, ...], tuple[Finding, ...]]:
    """Pairs of circuit numbers that share a neutral, and what is wrong with the rest.

    Each pair is in list order and stands once. A circuit whose partner is missing, has two
    poles, is itself, or is paired with another already gives an error and stays single.
    """
    by_name = {circuit.name: number for number, circuit in enumerate(circuits)}
    partner: dict[int, int] = {}
    findings: list[Finding] = []
    for number, circuit in enumerate(circuits):
        if circuit.shared_neutral_with is None:
            continue
        other = by_name.get(circuit.shared_neutral_with)
        if other is not None and partner.get(number) == other:
            continue
        fault = _fault(circuit, number, other, circuits, partner)
        if fault is None and other is not None:
            partner[number], partner[other] = other, number
        else:
            findings.append(
                Finding(
                    "error",
                    "SHARED_NEUTRAL_UNCLEAR",
                    f"{circuit.name} shares a neutral with {circuit.shared_neutral_with}: {fault}.",
                    f"/circuits/{number}/shared_neutral_with",
                    "nec_multiwire_legs",
                    "Name exactly two one-pole circuits for each shared neutral and list both; "
                    "both halves move to the transfer equipment together.",
                )
            )
    pairs = tuple((one, other) for one, other in partner.items() if one < other)
    return tuple(sorted(pairs)), tuple(findings)


def own_neutrals(circuits: Sequence[Circuit]) -> list[tuple[int, ...]]:
    """Numbers of the circuits of each neutral: single ones, and pairs that share one."""
    pairs, _ = shared_neutral_pairs(circuits)
    first = {one: (one, other) for one, other in pairs}
    second = {other for _, other in pairs}
    return [first.get(number, (number,)) for number in range(len(circuits)) if number not in second]


def _fault(
    circuit: Circuit,
    number: int,
    other: int | None,
    circuits: Sequence[Circuit],
    partner: dict[int, int],
) -> str | None:
    if other is None:
        return "no circuit of that name is in the job"
    if other == number:
        return "that is the circuit itself"
    if circuit.poles == 2 or circuits[other].poles == 2:
        return "a two-pole circuit uses both legs already"
    if number in partner or other in partner:
        return "one of the two is paired with another circuit already"
    return None
