"""Where a wiring method may be, and what may be there instead."""

from collections.abc import Iterator

from estimator.finding import Finding
from estimator.job.records import Run
from estimator.sizing.table_rows import Condition, PermittedUseRow
from estimator.sizing.tables import SizingTables
from estimator.units import plain

_ERROR_CODES: dict[str, str] = {
    "dry": "METHOD_NOT_FOR_PLACE",
    "damp": "METHOD_NOT_FOR_WET_PLACE",
    "wet": "METHOD_NOT_FOR_WET_PLACE",
    "outdoor": "METHOD_NOT_FOR_WET_PLACE",
    "sun": "METHOD_NOT_FOR_SUN",
    "underground": "METHOD_NOT_UNDERGROUND",
}
_PLACES: dict[str, str] = {
    "dry": "in a dry place",
    "damp": "in a damp place",
    "wet": "in a wet place",
    "outdoor": "outdoors in a wet place",
    "sun": "in direct sunlight",
    "underground": "underground",
    "struck": "where it can be struck",
}


def place_condition(run: Run) -> Condition:
    """The row of the table of permitted uses that a run's place asks for.

    An outdoor run is wet, inside its raceway too, unless the job says that the place is only
    damp, such as under a roofed porch.
    """
    if run.place == "underground":
        return "underground"
    if run.place == "outdoor":
        return "damp" if run.exposure == "damp" else "outdoor"
    return run.exposure


def conditions_met(run: Run) -> tuple[Condition, ...]:
    """All rows of the table of permitted uses that a run has to pass."""
    place = place_condition(run)
    if run.place == "underground":
        return (place,)
    sun: tuple[Condition, ...] = ("sun",) if run.sun_exposed else ()
    struck: tuple[Condition, ...] = ("struck",) if run.place == "outdoor" else ()
    return (place, *sun, *struck)


def permitted_instead(run: Run, tables: SizingTables) -> tuple[str, ...]:
    """Wiring methods that may be where a run is, in the order of the table."""
    conditions = conditions_met(run)
    return tuple(
        name
        for name, method in tables.wiring_methods.items()
        if all(tables.permitted_uses[name, one].verdict != "error" for one in conditions)
        and (method.max_ambient_c is None or run.ambient_c <= method.max_ambient_c)
    )


def check_wiring_method(run: Run, index: int, tables: SizingTables) -> tuple[Finding, ...]:
    """Findings on the place of a run: weather, sun, earth, damage, heat and length."""
    pointer = f"/runs/{index}"
    return (
        *_uses(run, pointer, tables),
        *_too_hot(run, pointer, tables),
        *_long_liquidtight(run, pointer, tables),
    )


def _uses(run: Run, pointer: str, tables: SizingTables) -> Iterator[Finding]:
    said: set[str] = set()
    for condition in conditions_met(run):
        row = tables.permitted_uses[run.wiring_method, condition]
        if row.verdict == "permitted" or row.provided in said:
            continue
        said.add(row.provided or "")
        if row.verdict == "error":
            yield _not_permitted(run, row, pointer, tables)
        else:
            yield _only_if(row, pointer)


def _not_permitted(run: Run, row: PermittedUseRow, pointer: str, tables: SizingTables) -> Finding:
    field = "sun_exposed" if row.condition == "sun" else "wiring_method"
    return Finding(
        "error",
        _ERROR_CODES[row.condition],
        f"{row.wiring_method} may not be {_PLACES[row.condition]}: {row.provided}.",
        f"{pointer}/{field}",
        row.source,
        _use_instead(run, tables),
    )


def _only_if(row: PermittedUseRow, pointer: str) -> Finding:
    struck = row.condition == "struck"
    return Finding(
        row.verdict if row.verdict != "permitted" else "note",
        "MAY_BE_STRUCK" if struck else "METHOD_ONLY_IF",
        f"Exposed {row.wiring_method} may be outdoors only if {row.provided}."
        if struck
        else f"{row.wiring_method} may be {_PLACES[row.condition]} only if {row.provided}.",
        f"{pointer}/wiring_method",
        row.source,
        "Use PVC-80, RMC or IMC where it can be struck."
        if struck
        else "Buy it with that marking or protection, and show it to the inspector.",
    )


def _use_instead(run: Run, tables: SizingTables) -> str:
    instead = permitted_instead(run, tables)
    if not instead:
        return "No wiring method that is known here may be there; take another way."
    wet = "" if place_condition(run) == "dry" else ", with wet-rated conductors in a raceway"
    return f"Use one of {', '.join(instead)}{wet}."


def _too_hot(run: Run, pointer: str, tables: SizingTables) -> Iterator[Finding]:
    method = tables.wiring_methods[run.wiring_method]
    if method.max_ambient_c is None or run.ambient_c <= method.max_ambient_c:
        return
    yield Finding(
        "error",
        "METHOD_TOO_HOT",
        f"{run.wiring_method} may not be where it gets hotter than {method.max_ambient_c} C; the "
        f"job says {plain(run.ambient_c)} C.",
        f"{pointer}/ambient_c",
        method.source,
        f"{_use_instead(run, tables).removesuffix('.')}, or take a cooler way.",
    )


def _long_liquidtight(run: Run, pointer: str, tables: SizingTables) -> Iterator[Finding]:
    short = tables.limits.liquidtight_nonmetallic_short_ft
    if run.wiring_method != "LFNC-B" or run.length_ft <= short:
        return
    yield Finding(
        "note",
        "LIQUIDTIGHT_SECURED",
        f"LFNC-B over {plain(short)} ft may be used only when it is secured along its length; "
        f"this run is {plain(run.length_ft)} ft.",
        f"{pointer}/length_ft",
        "nec_356_12",
        "Secure it at least every 3 ft and within 12 in of each box and fitting.",
    )
