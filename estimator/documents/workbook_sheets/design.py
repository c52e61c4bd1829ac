"""The sheet of the electrical design: circuits, runs and their conductors."""

from estimator.documents.records import FullEstimate
from estimator.documents.workbook_sheets.page import Page
from estimator.sizing.records import RunConductor, RunDesign

TITLE = "Design"
WIDTHS = (12, 34, 18, 14, 14, 14, 14, 14, 16)
CIRCUIT_HEADS = ("Position", "Circuit", "Breaker A", "Poles", "Leg", "Conductor")
RUN_HEADS = (
    "Run", "From, to", "Method", "Trade size", "Length ft", "Fill %", "Fill limit %",
    "Ampacity A", "Voltage drop %",
)  # fmt: skip
CONDUCTOR_HEADS = ("Run", "Serves", "Role", "Size", "Colour", "Count", "Material", "Insulation")


def write_design(page: Page, estimate: FullEstimate) -> None:
    """Fill the sheet with what is to be built."""
    design = estimate.design
    page.heading("Electrical design", "Sheet title")
    transfer = design.transfer
    page.paragraph(
        f"Transfer equipment: {transfer.method.replace('_', ' ')}, {transfer.rating_a} A, "
        f"{transfer.spaces_used} of {transfer.spaces} spaces used ({transfer.spaces_needed} "
        f"needed). Cord: {design.cord.length_ft} ft, {design.cord.conductor_size}, plug "
        f"{design.cord.plug}, connector {design.cord.connector}."
    )
    page.gap()
    _write_circuits(page, estimate)
    page.gap()
    page.heading("Runs")
    page.head(RUN_HEADS)
    for run in design.runs:
        _write_run(page, run)
    page.gap()
    page.heading("Conductors of the runs")
    page.head(CONDUCTOR_HEADS)
    for run in design.runs:
        for conductor in run.conductors:
            _write_conductor(page, run, conductor)
    page.finish()


def _write_circuits(page: Page, estimate: FullEstimate) -> None:
    page.heading("Circuits")
    page.head(CIRCUIT_HEADS)
    for circuit in estimate.design.circuits:
        page.text(1, circuit.position or "not placed")
        page.text(2, circuit.name)
        page.number(3, circuit.breaker_a, "Whole")
        page.number(4, circuit.poles, "Whole")
        page.text(5, circuit.leg)
        page.text(6, circuit.conductor_size)
        page.row += 1


def _write_run(page: Page, run: RunDesign) -> None:
    page.number(1, run.index + 1, "Whole")
    whip = " (factory whip)" if run.factory_whip else ""
    page.text(2, f"{run.from_} to {run.to}{whip}".replace("_", " "))
    page.text(3, run.wiring_method)
    page.text(4, run.trade_size or "-")
    page.number(5, run.length_ft, "Quantity")
    for column, percent in ((6, run.fill_percent), (7, run.fill_limit_percent)):
        page.number(column, percent, "Quantity")
    page.number(8, run.ampacity_a, "Quantity")
    page.number(9, run.voltage_drop_percent, "Quantity")
    page.row += 1


def _write_conductor(page: Page, run: RunDesign, conductor: RunConductor) -> None:
    page.number(1, run.index + 1, "Whole")
    page.text(2, conductor.serves)
    page.text(3, conductor.role.replace("_", " "))
    page.text(4, conductor.size)
    page.text(5, conductor.colour)
    page.number(6, conductor.count, "Whole")
    page.text(7, conductor.material)
    page.text(8, conductor.insulation)
    page.row += 1
