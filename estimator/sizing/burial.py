"""How deep a run lies underground, and what it needs where it comes up."""

from collections.abc import Iterator
from decimal import Decimal

from estimator.basis import Because, because
from estimator.finding import Finding
from estimator.job.records import Run, WiringMethod
from estimator.sizing.table_rows import BurialRow
from estimator.sizing.tables import SizingTables
from estimator.units import plain

USUAL = "not_otherwise_listed"
DRIVEWAY = "dwelling_driveway"
ROAD = "road_or_parking"
PVC = ("PVC-40", "PVC-80")
# Where it comes up the thinner wall of plastic conduit is not enough against blows.
_RISER_OF: dict[WiringMethod, WiringMethod] = {"PVC-40": "PVC-80"}


def cover_required_in(run: Run, location: str, tables: SizingTables) -> Decimal | None:
    """Least cover over a run [in] at a location of the burial table; None when it has none.

    Source: named row by row in the table.
    """
    row = tables.burial_cover[location]
    burial = tables.wiring_methods[run.wiring_method].burial
    return None if burial is None else _column(row)[burial]


def _column(row: BurialRow) -> dict[str, Decimal]:
    return {
        "direct_cable": row.direct_cable_in,
        "rigid_metal": row.rigid_metal_in,
        "other_raceway": row.other_raceway_in,
    }


def riser_raceway(run: Run) -> WiringMethod | None:
    """The raceway of a run's risers out of the earth, when that is another than its own.

    Source: 300.5(D)(4), 352.12(C): physical damage.
    """
    return _RISER_OF.get(run.wiring_method) if run.place == "underground" else None


def burial_reasons(run: Run, tables: SizingTables) -> tuple[Because, ...]:
    """Cover and temperature of an underground run."""
    required = _required(run, tables)
    if required is None:
        return ()
    return (
        because(
            "Least cover by wiring method, not under a drive, a road or concrete",
            "nec_300_5",
            cover_required_in=required,
            depth_in="not told" if run.depth_in is None else run.depth_in,
        ),
        because(
            "Its ends come up into the air, so the air's temperature is used and not the earth's",
            "own_convention",
            ambient_c=run.ambient_c,
        ),
    )


def check_burial(run: Run, index: int, tables: SizingTables) -> tuple[Finding, ...]:
    """Findings on depth and risers of an underground run."""
    required = _required(run, tables)
    if required is None:
        return ()
    pointer = f"/runs/{index}"
    return (
        *_depth(run, required, pointer, tables),
        _risers(pointer, tables),
        *_earth_movement(run, pointer),
    )


def _required(run: Run, tables: SizingTables) -> Decimal | None:
    if run.place != "underground":
        return None
    if tables.permitted_uses[run.wiring_method, "underground"].verdict == "error":
        return None
    return cover_required_in(run, USUAL, tables)


def _depth(run: Run, required: Decimal, pointer: str, tables: SizingTables) -> Iterator[Finding]:
    drive = cover_required_in(run, DRIVEWAY, tables)
    road = cover_required_in(run, ROAD, tables)
    assert drive is not None and road is not None  # the same column as ``required``
    under = f"{plain(max(drive, required))} in under the drive of a one- or two-family house, "
    under += f"{plain(road)} in under a road or parking"
    if run.depth_in is None:
        yield Finding(
            "warning",
            "BURIAL_DEPTH_UNKNOWN",
            f"The job does not say how deep the {run.wiring_method} lies; it needs "
            f"{plain(required)} in of cover.",
            f"{pointer}/depth_in",
            "nec_300_5",
            f"Dig for {plain(required)} in of cover ({under}) and give depth_in.",
        )
    elif run.depth_in < required:
        yield Finding(
            "error",
            "COVER_TOO_SHALLOW",
            f"{run.wiring_method} needs {plain(required)} in of cover but has "
            f"{plain(run.depth_in)} in.",
            f"{pointer}/depth_in",
            "nec_300_5",
            f"Dig for {plain(required)} in of cover ({under})"
            + _shallower(run.depth_in, tables)
            + ".",
        )


def _shallower(depth_in: Decimal, tables: SizingTables) -> str:
    row = _column(tables.burial_cover[USUAL])
    enough = [
        name
        for name, method in tables.wiring_methods.items()
        if method.burial is not None
        and row[method.burial] <= depth_in
        and tables.permitted_uses[name, "underground"].verdict != "error"
    ]
    return f", or use {' or '.join(enough)}, which may lie this shallow" if enough else ""


def _risers(pointer: str, tables: SizingTables) -> Finding:
    limits = tables.limits
    return Finding(
        "note",
        "RISER_PROTECTION",
        "Where the run comes out of the ground it has to be protected from "
        f"{plain(limits.riser_below_in)} in below grade (no deeper than its cover) to "
        f"{plain(limits.riser_above_ft)} ft above.",
        f"{pointer}/place",
        "nec_underground_protection",
        "Use PVC-80, RMC or IMC for both risers, with a bushing on the end where cable enters it.",
    )


def _earth_movement(run: Run, pointer: str) -> Iterator[Finding]:
    if run.wiring_method not in PVC:
        return
    yield Finding(
        "note",
        "EARTH_MOVEMENT",
        "Earth that settles or heaves pulls on rigid conduit that comes up to a fixed enclosure.",
        f"{pointer}/place",
        "nec_earth_movement",
        "Put an expansion fitting into the riser where the earth settles or freezes.",
    )
