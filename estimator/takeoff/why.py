"""The why-list the other way round: what each run, circuit or device asked for."""

from collections.abc import Mapping

from estimator.takeoff.records import TakeOff


def asked_for(take_off: TakeOff) -> Mapping[str, tuple[int, ...]]:
    """Positions in the parts list by the JSON pointer of what asked for them.

    The other way stands in each part as asked_by; the two say the same.
    """
    lines: dict[str, list[int]] = {}
    for position, part in enumerate(take_off.parts):
        for pointer in part.asked_by:
            lines.setdefault(pointer, []).append(position)
    return {pointer: tuple(positions) for pointer, positions in sorted(lines.items())}
