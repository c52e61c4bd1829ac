"""Where a raceway enters an enclosure: connector, locknuts, bushing, seal, knockout."""

from collections.abc import Sequence

from estimator.basis import because
from estimator.sizing.records import RunDesign
from estimator.takeoff.raceway_plan import RacewayPlan, has_large_wire
from estimator.takeoff.run_ends import End, ends_in_weather, run_ends
from estimator.takeoff.table_rows import MethodRow
from estimator.takeoff.taking import Taking, in_weather, run_pointer
from estimator.units import trade_rank

_WASHERS_A_KNOCKOUT = 2


def take_entries(taking: Taking, run: RunDesign, method: MethodRow, plan: RacewayPlan) -> None:
    """What the ends of a raceway need at enclosures and, for connectors, at conduit bodies."""
    _take_connectors(taking, run, method, plan)
    _take_locknuts(taking, run, method, plan)
    _take_inserts(taking, run, method, plan)
    for end in run_ends(taking, run):
        fit_knockout(taking, run, end, plan.trade_size)


def fit_knockout(taking: Taking, run: RunDesign, end: End, trade_size: str) -> None:
    """Reducing washers where the knockout is too large, or the work to enlarge it.

    trade_size: of the raceway or cable connector. A box's knockouts are made to suit.
    """
    knockouts, source = _knockouts(taking, run, end)
    if not knockouts or trade_size in knockouts:
        return
    larger = [size for size in knockouts if trade_rank(size) > trade_rank(trade_size)]
    pointer = run_pointer(run)
    where = "inlet box" if end == "inlet" else "transfer equipment"
    if larger:
        knockout = min(larger, key=trade_rank)
        reason = because(
            f"The smallest fitting knockout of the {where} is larger than the raceway: one "
            "washer inside and one outside.",
            source,
            knockout=knockout,
            trade_size=trade_size,
        )
        taking.parts.add(
            "reducing_washer",
            {"knockout": knockout, "trade_size": trade_size},
            _WASHERS_A_KNOCKOUT,
            pointer,
            reason,
        )
        return
    largest = max(knockouts, key=trade_rank)
    reason = because(
        f"The largest knockout of the {where} is smaller than the raceway.",
        source,
        knockout=largest,
        trade_size=trade_size,
    )
    taking.work.add("enlarge_knockout", 1, reason)
    taking.find(
        "note",
        "KNOCKOUT_TO_ENLARGE",
        f"The raceway of run {run.index + 1} is {trade_size}, the largest knockout of the usual "
        f"{where} is {largest}; the work to enlarge it is in the hours.",
        pointer,
        source,
        f"Choose equipment with a {trade_size} knockout, or have a punch at hand.",
    )


def _knockouts(taking: Taking, run: RunDesign, end: End) -> tuple[Sequence[str], str]:
    if end == "inlet":
        rows = taking.tables.inlet_knockouts.get(taking.job.inlet.configuration, ())
        return [row.knockout for row in rows], rows[0].source if rows else "memory"
    if end == "transfer" and taking.manual_switch:
        entry = "whip" if run.to == "load_centre" else "feed"
        return switch_knockouts(taking, entry), "memory"
    if end == "transfer":
        method = taking.job.transfer.method
        return taking.tables.cabinet_knockouts.get(method, ()), "memory"
    return (), "memory"


def switch_knockouts(taking: Taking, entry: str) -> Sequence[str]:
    """Knockouts of the chosen switch for its feed or its whip."""
    spaces = taking.design.transfer.spaces
    rows = taking.tables.switch_knockouts
    upper = min(
        (row.positions_to for row in rows if row.positions_to >= spaces),
        default=max(row.positions_to for row in rows),
    )
    return [row.knockout for row in rows if row.positions_to == upper and row.entry == entry]


def _take_connectors(taking: Taking, run: RunDesign, method: MethodRow, plan: RacewayPlan) -> None:
    weather = in_weather(run.exposure, run.place)
    style = method.wet_connector if weather else method.dry_connector
    if style is None or plan.nipple:
        return
    at_bodies = plan.body_ends if method.body_takes_connectors else 0
    reason = because(
        "One connector an end of the raceway in an enclosure or box"
        + (", and at each side of a conduit body." if at_bodies else "."),
        method.source,
        at_enclosures=plan.enclosure_ends,
        at_conduit_bodies=at_bodies,
    )
    taking.parts.add(
        "raceway_connector",
        {"raceway": method.fittings, "trade_size": plan.trade_size, "style": style},
        plan.enclosure_ends + at_bodies,
        run_pointer(run),
        reason,
    )


def _take_locknuts(taking: Taking, run: RunDesign, method: MethodRow, plan: RacewayPlan) -> None:
    pointer = run_pointer(run)
    sealed = _sealed_ends(taking, run, method, plan)
    if sealed:
        reason = because(
            "The raceway enters an enclosure in the weather, where it may come in above live parts "
            "or splices, so a sealing locknut takes the outer place.",
            "nec_312_2",
            entries=sealed,
        )
        values = {"trade_size": plan.trade_size, "style": "sealing"}
        taking.parts.add("locknut", values, sealed, pointer, reason)
    reason = because(
        "Locknuts that the fitting does not bring.",
        method.source,
        locknuts_an_end=method.locknuts_per_end,
        ends=plan.enclosure_ends,
        of_them_sealing=sealed,
    )
    values = {"trade_size": plan.trade_size, "style": "steel"}
    plain_nuts = max(0, method.locknuts_per_end * plan.enclosure_ends - sealed)
    taking.parts.add("locknut", values, plain_nuts, pointer, reason)


def _sealed_ends(taking: Taking, run: RunDesign, method: MethodRow, plan: RacewayPlan) -> int:
    """Entries that need a seal; liquid-tight connectors bring their own."""
    if method.form != "stick":
        return 0
    sealed = 2 * plan.boxes if in_weather(run.exposure, run.place) else 0
    ends = zip(run_ends(taking, run), ends_in_weather(taking, run), strict=True)
    return sealed + sum(weather and not _in_wall(taking, end) for end, weather in ends)


def _in_wall(taking: Taking, end: End) -> bool:
    """Whether an enclosure is set into the wall, where its entries are out of the weather."""
    job = taking.job
    mounting = {"inlet": job.inlet.mounting, "transfer": job.transfer.mounting}
    return mounting.get(end) == "flush"


def _take_inserts(taking: Taking, run: RunDesign, method: MethodRow, plan: RacewayPlan) -> None:
    pointer = run_pointer(run)
    large = has_large_wire(run)
    if method.end_insert == "anti-short":
        ends = plan.enclosure_ends + plan.body_ends
        reason = because(
            "An insulating insert at each cut end of flexible metal conduit.",
            "common_practice",
            ends=ends,
        )
        values = {"trade_size": plan.trade_size}
        taking.parts.add("anti_short_bushing", values, ends, pointer, reason)
        if not large:
            return
    if method.end_insert in ("throat", "none"):
        # The fitting's own insulating throat serves: a bushing beside it is not wanted.
        return
    reason = because(
        "From 4 AWG conductors leave the raceway over an insulating bushing, one an end; the "
        "connectors are counted without an insulated throat, which would serve as well."
        if large
        else "Conductors leave each raceway end in an enclosure over an insulating bushing.",
        "nec_bushing_4awg" if large else "common_practice",
        ends=plan.enclosure_ends,
    )
    values = {"trade_size": plan.trade_size}
    taking.parts.add("insulating_bushing", values, plan.enclosure_ends, pointer, reason)
