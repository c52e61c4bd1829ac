"""Complete the runs from the inlet to the load centre."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from estimator.finding import Assumption
from estimator.job.filling import Filling
from estimator.job.records import Place, Run, Site, Surface, Transfer
from estimator.job.run_order import legs_for
from estimator.job.service_cable import insulated

Told = Mapping[str, Any]
_TWO_TURNS = (Decimal(90), Decimal(90))
_OUTDOOR_CHANGE_C = Decimal(55)
_SHELTERED_CHANGE_C = Decimal(20)


def whip_length(told: Sequence[Told]) -> Decimal | None:
    """Length of the told runs from transfer equipment to load centre [ft], None without."""
    lengths = [run["length_ft"] for run in told if run["from"] == "transfer"]
    return sum(lengths, Decimal(0)) if lengths else None


def fill_runs(
    told: Sequence[Told],
    run_length_ft: Decimal,
    mounting_surface: Surface,
    transfer: Transfer,
    site: Site,
    assumptions: list[Assumption],
) -> tuple[Run, ...]:
    """Runs complete and in order; a way that no run covers gets a run of its own."""
    legs = legs_for(transfer.method)
    lengths = (run_length_ft, transfer.whip_length_ft)
    ways = [(run, (run["from"], run["to"])) for run in told]
    covered = {way for _, way in ways}
    ways += [({}, leg) for leg in legs if leg not in covered]
    return tuple(
        _run(
            Filling(run, f"/runs/{index}", "/runs/*", assumptions),
            _Way(index, way, lengths[legs.index(way)], mounting_surface, transfer, site),
        )
        for index, (run, way) in enumerate(ways)
    )


class _Way:
    """What follows for a run from where it lies between the inlet and the load centre."""

    __slots__ = ("ends", "index", "is_whip", "length_ft", "site", "surface", "transfer")

    def __init__(
        self,
        index: int,
        ends: tuple[str, str],
        length_ft: Decimal,
        mounting_surface: Surface,
        transfer: Transfer,
        site: Site,
    ) -> None:
        self.index = index
        self.ends = ends
        self.length_ft = length_ft
        self.is_whip = ends[0] == "transfer"
        self.surface = transfer.surface if self.is_whip else mounting_surface
        self.transfer = transfer
        self.site = site


def _run(run: Filling, way: _Way) -> Run:
    start, end = way.ends
    whip = way.is_whip
    flexible = whip and way.transfer.method == "manual_switch"
    place: Place = run.derived(
        "place",
        "indoor" if whip else "outdoor",
        "transfer equipment and load centre are indoors"
        if whip
        else "the inlet is outdoors, and the outdoor part decides how the run is built",
    )
    return Run(
        from_=run.derived("from", start, "the runs go from the inlet to the load centre"),
        to=run.derived("to", end, "the runs go from the inlet to the load centre"),
        length_ft=run.derived(
            "length_ft",
            way.length_ft,
            "as whip_length_ft says" if whip else "as run_length_ft says",
            "job_description",
        ),
        wiring_method=insulated(
            run.derived(
                "wiring_method",
                "FMC" if flexible else "EMT",
                "the whip to the load centre is flexible conduit"
                if flexible
                else "metal tubing protects the wires indoors and outdoors",
                "common_practice",
            )
        ),
        insulation=run.constant("insulation"),
        conductor_material=run.constant("conductor_material"),
        bends_deg=run.derived(
            "bends_deg",
            () if whip else _TWO_TURNS,
            "a short run between two cabinets needs no bends made"
            if whip
            else "one turn at each end, into the wall and into the cabinet",
            "common_practice",
        ),
        exposure=run.derived(
            "exposure",
            "dry" if place == "indoor" else "wet",
            "indoors is dry"
            if place == "indoor"
            else "the inside of a raceway outdoors or underground is a wet place",
            "nec_raceway_outdoor_wet",
        ),
        place=place,
        sun_exposed=run.constant("sun_exposed"),
        surface=run.derived(
            "surface",
            way.surface,
            "it is fastened to the same wall as the transfer equipment"
            if whip
            else "it is fastened to mounting_surface",
        ),
        ambient_c=_ambient(run, place, way.site),
        temperature_change_c=_temperature_change(run, place),
        wall_penetrations=run.derived(
            "wall_penetrations",
            0 if way.index else 1,
            "the run from the inlet goes through the outer wall once, the others through none",
        ),
        depth_in=run.constant("depth_in"),
        finished_wall=run.derived(
            "finished_wall",
            whip and way.transfer.mounting == "flush",
            "a flush cabinet has its whip in the wall, other runs stay on the surface",
        ),
    )


def _ambient(run: Filling, place: Place, site: Site) -> Decimal:
    indoors = place == "indoor"
    ambient: Decimal = run.derived(
        "ambient_c",
        site.indoor_ambient_c if indoors else site.outdoor_ambient_c,
        "the indoor ambient of the site" if indoors else "the outdoor ambient of the site",
    )
    return ambient


def _temperature_change(run: Filling, place: Place) -> Decimal:
    change: Decimal = run.derived(
        "temperature_change_c",
        _OUTDOOR_CHANGE_C if place == "outdoor" else _SHELTERED_CHANGE_C,
        "from a winter night to a summer day outdoors"
        if place == "outdoor"
        else "indoors and underground the temperature changes little",
        "common_practice",
    )
    return change
