"""Where a wiring method may be, and what may be there instead."""

from estimator.finding import Finding
from estimator.job.records import Run
from estimator.sizing.table_rows import WiringMethodRow
from estimator.sizing.tables import SizingTables
from estimator.units import plain


def check_wiring_method(run: Run, index: int, tables: SizingTables) -> tuple[Finding, ...]:
    """Findings on the place of a run."""
    method = tables.wiring_methods[run.wiring_method]
    pointer = f"/runs/{index}"
    findings: list[Finding] = []
    if not method.built:
        findings.append(_not_built(run, pointer, tables))
    if run.place == "underground":
        findings.append(_underground(pointer))
    else:
        findings += _place(run, method, pointer)
        if run.wiring_method == "PVC-40" and run.place == "outdoor":
            findings.append(_damage(pointer))
    return tuple(findings)


def _not_built(run: Run, pointer: str, tables: SizingTables) -> Finding:
    built = ", ".join(row.wiring_method for row in tables.wiring_methods.values() if row.built)
    return Finding(
        "error",
        "WIRING_METHOD_NOT_BUILT",
        f"{run.wiring_method} cannot be designed here yet; its conductors are sized by the 60 C "
        "or 75 C column and no fittings follow.",
        f"{pointer}/wiring_method",
        "own_convention",
        f"Use one of {built}.",
    )


def _underground(pointer: str) -> Finding:
    return Finding(
        "error",
        "UNDERGROUND_NOT_BUILT",
        "An underground run is sized, but trench, burial depth and protection of the risers are "
        "not designed yet.",
        f"{pointer}/place",
        "nec_300_5",
        "Plan the trench by the burial table yourself, or take the run above ground.",
    )


def _place(run: Run, method: WiringMethodRow, pointer: str) -> list[Finding]:
    findings = []
    # The inside of a raceway outdoors above ground counts as wet, and so does an outdoor wall.
    wet = run.exposure == "wet" or run.place == "outdoor"
    if (wet and not method.in_wet) or (run.exposure == "damp" and not method.in_damp):
        findings.append(
            Finding(
                "error",
                "METHOD_NOT_FOR_WET_PLACE",
                f"{run.wiring_method} may not be {'outdoors or in a wet' if wet else 'in a damp'} "
                "place.",
                f"{pointer}/wiring_method",
                method.source,
                f"Use {method.instead}.",
            )
        )
    elif run.sun_exposed and not method.in_sun:
        findings.append(
            Finding(
                "error",
                "METHOD_NOT_FOR_SUN",
                f"{run.wiring_method} may not be in direct sunlight unless it is marked for it.",
                f"{pointer}/sun_exposed",
                method.source,
                f"Use {method.instead}.",
            )
        )
    if method.max_ambient_c is not None and run.ambient_c > method.max_ambient_c:
        findings.append(
            Finding(
                "error",
                "METHOD_TOO_HOT",
                f"{run.wiring_method} may not be where it gets hotter than "
                f"{method.max_ambient_c} C; the job says {plain(run.ambient_c)} C.",
                f"{pointer}/ambient_c",
                method.source,
                f"Use {method.instead}, or take a cooler way.",
            )
        )
    return findings


def _damage(pointer: str) -> Finding:
    return Finding(
        "note",
        "PVC_40_DAMAGE",
        "Exposed schedule 40 PVC may not be where it can be hit.",
        f"{pointer}/wiring_method",
        "nec_pvc_damage",
        "Use PVC-80, RMC or IMC where vehicles, mowers or people can strike it.",
    )
