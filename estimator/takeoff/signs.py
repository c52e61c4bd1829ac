"""Signs, directories and cards: parts with quantities, not advice."""

from estimator.basis import because
from estimator.job.records import TransferMethod
from estimator.takeoff.taking import Taking

_USER_SELECTS: tuple[TransferMethod, ...] = ("interlock", "subpanel")


def take_signs(taking: Taking) -> None:
    """What is put up at the service, the inlet, the load centre and the transfer equipment."""
    _take_sources(taking)
    _take_directories(taking)
    _add(
        taking,
        "operating instruction card",
        "/transfer",
        "The order of switching over and back stays at the transfer equipment.",
        "common_practice",
    )
    reason = because("Signs, directories and the card are put up and filled in.", "own_convention")
    taking.work.add("signs_and_directory", 1, reason)


def _take_sources(taking: Taking) -> None:
    job = taking.job
    _add(
        taking,
        "standby source sign",
        "/load_centre",
        "The service equipment tells that there is a standby source and where it is.",
        "nec_signs_service",
    )
    _add(
        taking,
        "inlet source-type sign",
        "/inlet",
        "The inlet tells which kind of source, with bonded or floating neutral, it is wired for.",
        "nec_signs_inlet",
    )
    if not (job.supply.portable or job.transfer.switched_neutral):
        _add(
            taking,
            "bond warning sign",
            "/load_centre",
            "The fixed supply is grounded through the service's bond: a sign warns of taking it "
            "off.",
            "nec_signs_bond",
        )


def _take_directories(taking: Taking) -> None:
    job = taking.job
    text = "The directory of each panel that was changed names its circuits anew."
    _add(taking, "circuit directory", "/load_centre", text, "nec_circuit_directory")
    if taking.moves_circuits:
        _add(taking, "circuit directory", "/transfer", text, "nec_circuit_directory")
    if job.transfer.method in _USER_SELECTS:
        _add(
            taking,
            "list of loads that may be on together",
            "/transfer",
            "The user chooses what is on, and the supply carries no more than its rating.",
            "nec_capacity_manual",
        )
    cut_feeder = job.transfer.method == "automatic_switch" and job.load_centre.role == "subpanel"
    if job.transfer.method == "subpanel" or cut_feeder:
        _add(
            taking,
            "feed-through conductor label",
            "/load_centre",
            "Conductors that only pass through the load centre are marked with where they are "
            "switched off.",
            "nec_panel_splices",
        )


def _add(taking: Taking, sign: str, asked_by: str, text: str, source: str) -> None:
    taking.parts.add("sign", {"sign": sign}, 1, asked_by, because(text, source))
