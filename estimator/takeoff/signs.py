"""Signs, directory and instruction card: parts with quantities, not advice."""

from estimator.basis import because
from estimator.takeoff.taking import Taking


def take_signs(taking: Taking) -> None:
    """One sign at the service, one at the inlet, a directory a panel changed, one card."""
    _add(
        taking,
        "standby source sign",
        1,
        "/load_centre",
        "The service equipment tells that there is a standby source and where it is.",
        "nec_signs_service",
    )
    _add(
        taking,
        "inlet source-type sign",
        1,
        "/inlet",
        "The inlet tells which kind of source, with bonded or floating neutral, it is wired for.",
        "nec_signs_inlet",
    )
    _add(
        taking,
        "circuit directory",
        1,
        "/load_centre",
        "The directory of each panel that was changed names its circuits anew.",
        "nec_circuit_directory",
    )
    if taking.job.transfer.method != "interlock":
        _add(
            taking,
            "circuit directory",
            1,
            "/transfer",
            "The directory of each panel that was changed names its circuits anew.",
            "nec_circuit_directory",
        )
    _add(
        taking,
        "operating instruction card",
        1,
        "/transfer",
        "The order of switching over and back stays at the transfer equipment.",
        "common_practice",
    )
    reason = because("Signs, directories and the card are put up and filled in.", "own_convention")
    taking.work.add("signs_and_directory", 1, reason)


def _add(taking: Taking, sign: str, count: int, asked_by: str, text: str, source: str) -> None:
    taking.parts.add("sign", {"sign": sign}, count, asked_by, because(text, source))
