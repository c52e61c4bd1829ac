"""The trench of an underground run: digging, filling, warning tape, and who is asked first."""

from decimal import ROUND_CEILING, Decimal

from estimator.basis import because
from estimator.sizing.records import RunDesign
from estimator.takeoff.consumables import use_up
from estimator.takeoff.taking import Taking, run_pointer
from estimator.units import plain

_STEP_FT = Decimal(10)
_CALL = "CALL_BEFORE_DIGGING"


def take_trench(taking: Taking, run: RunDesign) -> None:
    """Trench, backfill and warning tape over the whole length of an underground run.

    How far the run stands above ground at its ends is not told, so nothing is taken off it.
    """
    if run.place != "underground":
        return
    pointer = run_pointer(run)
    machine_from = taking.allowance("machine_trench_from")
    by_machine = run.length_ft >= machine_from
    how = "a machine is worth fetching" if by_machine else "it is dug by hand"
    trench = because(
        f"The run lies in a trench of its length; from {plain(machine_from)} ft on a machine is "
        f"used, so here {how}.",
        "common_practice",
        run_ft=run.length_ft,
        machine_from_ft=machine_from,
    )
    task = "trench_machine" if by_machine else "trench"
    taking.work.add(task, run.length_ft / _STEP_FT, trench)
    tape = because(
        "Warning tape lies above the run in the fill, which is free of stones at the run itself.",
        "nec_backfill",
        run_ft=run.length_ft,
    )
    use_up(
        taking, "warning_tape", int(run.length_ft.to_integral_value(ROUND_CEILING)), pointer, tape
    )
    if by_machine:
        _tell_of_hire(taking, pointer)
    _tell_to_call(taking, pointer)


def _tell_of_hire(taking: Taking, pointer: str) -> None:
    if taking.job.labour.skill == "own":
        # One who does it alone finds the machine among the tools.
        return
    taking.find(
        "note",
        "TRENCHER_NOT_PRICED",
        "The trench is counted as cut by machine; the machine and its fetching are in neither "
        "parts nor hours.",
        pointer,
        "own_convention",
        "Add the machine's hire as a cost of your own if you have none.",
    )


def _tell_to_call(taking: Taking, pointer: str) -> None:
    if any(finding.code == _CALL for finding in taking.findings):
        return
    taking.find(
        "note",
        _CALL,
        "Gas, water, power and data lines may lie where the trench is to be dug; they are marked "
        "free of charge on a call some days ahead.",
        pointer,
        "osha_1926_651",
        "Call the one-call centre of the state (811 in the United States), wait until all lines "
        "are marked, and dig by hand beside the marks.",
    )
