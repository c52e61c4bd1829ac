"""What a run's place and make mean for it, as reasons beside its figures."""

from estimator.basis import Because, because
from estimator.job.records import Run
from estimator.sizing.code_editions import EditionRules
from estimator.sizing.tables import SizingTables
from estimator.sizing.wiring_checks import place_condition

WET = ("wet", "outdoor", "underground")


def run_reasons(
    run: Run, trade_size: str | None, rules: EditionRules, tables: SizingTables
) -> tuple[Because, ...]:
    """Reasons that follow from the run alone: wet inside, sun, bend radius.

    trade_size: None for cable and where no raceway was found.
    """
    reasons = []
    if place_condition(run) in WET and trade_size is not None:
        reasons.append(
            because(
                f"The inside of the raceway is a wet place; {run.insulation} is a wet-rated "
                "insulation",
                "nec_raceway_outdoor_wet",
                insulation=run.insulation,
            )
        )
    if run.sun_exposed:
        reasons.append(
            because(
                "In the sun: nothing is added to the air's temperature, for that is asked only "
                "close above a roof and no run is described as on a roof",
                "nec_ambient_correction_rooftop",
                code_edition=rules.edition,
                roof_adder_c=rules.roof_adder_c,
                closer_than_in=rules.roof_clearance_in,
            )
        )
    reasons += _bend_radius(run, trade_size, tables)
    return tuple(reasons)


def _bend_radius(run: Run, trade_size: str | None, tables: SizingTables) -> list[Because]:
    method = tables.wiring_methods[run.wiring_method]
    if method.bend_radius_diameters is not None:
        return [
            because(
                f"Least bend of {run.wiring_method} in its own diameters, to the inner edge",
                method.source,
                bend_radius_diameters=method.bend_radius_diameters,
            )
        ]
    if trade_size is None or not run.bends_deg:
        return []
    row = tables.bend_radii[trade_size]
    return [
        because(
            "Least radius of a bend made in the field, to the centre of the raceway",
            row.source,
            one_shot_in=row.one_shot_in,
            other_in=row.other_in,
        )
    ]
