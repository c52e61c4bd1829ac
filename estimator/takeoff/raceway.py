"""Raceway itself: sticks or whole lengths, couplings, elbows, expansion fittings, cement."""

from decimal import Decimal

from estimator.basis import because
from estimator.sizing.records import RunDesign
from estimator.takeoff.consumables import use_up
from estimator.takeoff.raceway_plan import RacewayPlan
from estimator.takeoff.risers import take_riser_pieces
from estimator.takeoff.table_rows import MethodRow
from estimator.takeoff.taking import Taking, in_weather, run_pointer
from estimator.units import INCHES_PER_FOOT, plain


def take_lengths(taking: Taking, run: RunDesign, method: MethodRow, plan: RacewayPlan) -> None:
    """The raceway by length: sticks with a remainder, one whole piece, or a nipple."""
    pointer = run_pointer(run)
    values = {"raceway": run.wiring_method, "trade_size": plan.trade_size}
    if plan.nipple:
        _take_nipple(taking, run, method, plan)
        return
    if method.form == "flexible":
        reason = because(
            "Flexible conduit is one whole piece between boxes and conduit bodies.",
            "common_practice",
            run_ft=run.length_ft,
            pieces=len(plan.pieces_ft),
        )
        taking.parts.add_cuts("flexible_raceway", values, plan.pieces_ft, pointer, reason)
        return
    own = (
        "; each stick brings one joint, so joints between sticks take no coupling"
        if method.joint_on_stick
        else ""
    )
    reason = because(
        f"Whole sticks and a remainder for each segment between boxes and pull points{own}.",
        "common_practice",
        run_ft=run.length_ft,
        segments=len(run.segments_ft),
        stick_ft=method.stick_ft or 0,
        joints=plan.joints,
    )
    taking.parts.add_cuts("raceway", values, plan.pieces_ft, pointer, reason)
    take_riser_pieces(taking, run, method, plan.riser_pieces_ft)


def take_joints(taking: Taking, run: RunDesign, method: MethodRow, plan: RacewayPlan) -> None:
    """Couplings, factory elbows, expansion fittings and the cement of glued joints."""
    if plan.nipple:
        return
    pointer = run_pointer(run)
    style = method.wet_coupling if in_weather(run.exposure, run.place) else method.dry_coupling
    elbows = len(plan.elbows_deg)
    couplings = elbows + (0 if method.joint_on_stick else plan.joints)
    if style is not None and couplings:
        reason = because(
            "One coupling a joint between sticks and one more a factory elbow, less the joints "
            "that the sticks bring.",
            "common_practice",
            joints=plan.joints,
            elbows=elbows,
            brought_by_sticks=plan.joints if method.joint_on_stick else 0,
        )
        values = {"raceway": method.fittings, "trade_size": plan.trade_size, "style": style}
        taking.parts.add("raceway_coupling", values, couplings, pointer, reason)
    for angle in plan.elbows_deg:
        reason = because(
            "Bends of this raceway and size are factory elbows"
            + (", two of them for the turns out of the earth." if plan.turns_added else "."),
            "common_practice",
            bends_deg=sum(run.bends_deg),
        )
        taking.parts.add(
            "elbow",
            {
                "raceway": run.wiring_method,
                "trade_size": plan.trade_size,
                "angle_deg": plain(angle),
            },
            1,
            pointer,
            reason,
        )
    _tell_turns_added(taking, run, plan)
    _take_expansion(taking, run, method, plan)
    if method.glued:
        _take_cement(taking, run, plan)
    if method.fittings == "RMC" and method.stick_ft is not None:
        _cut_threads(taking, run, method.stick_ft, plan)


def _cut_threads(taking: Taking, run: RunDesign, stick_ft: Decimal, plan: RacewayPlan) -> None:
    """Oil for the threads cut on site, and what keeps them from rusting where it is not dry."""
    cut = sum(stretch % stick_ft != 0 for stretch in plan.stretches_ft)
    if not cut:
        return
    pointer = run_pointer(run)
    consumables = taking.tables.consumables
    oil = because(
        "Each length between boxes and bodies that is no whole number of sticks has a thread "
        "cut on site.",
        consumables["cutting_oil"].source,
        threads=cut,
    )
    use_up(taking, "cutting_oil", cut, pointer, oil)
    if run.exposure == "dry" and run.place == "indoor":
        return
    coat = because(
        "Threads cut on site are bare steel; where it is not dry they are coated with a compound "
        "that conducts and keeps off rust (NFPA 70 300.6(A)).",
        consumables["thread_compound"].source,
        threads=cut,
    )
    use_up(taking, "thread_compound", cut, pointer, coat)


def _take_nipple(taking: Taking, run: RunDesign, method: MethodRow, plan: RacewayPlan) -> None:
    wanted = run.length_ft * INCHES_PER_FOOT
    lengths = [row.length_in for row in taking.tables.nipple_lengths]
    length = next((stocked for stocked in lengths if stocked >= wanted), lengths[-1])
    reason = because(
        "A short threaded nipple joins two enclosures up to 24 in apart; it needs no strap.",
        "nec_nipple",
        run_in=wanted,
    )
    taking.parts.add(
        "nipple",
        {
            "raceway": method.fittings,
            "trade_size": plan.trade_size,
            "length_in": str(length),
        },
        1,
        run_pointer(run),
        reason,
    )


def _take_expansion(taking: Taking, run: RunDesign, method: MethodRow, plan: RacewayPlan) -> None:
    travel = taking.tables.allowances["expansion_travel"]
    reason = because(
        "PVC changes its length with the seasons by more than a quarter inch.",
        "nec_352_44",
        change_in=run.expansion_change_in if run.expansion_change_in is not None else 0,
        travel_in=travel.value,
    )
    values = {
        "raceway": method.fittings,
        "trade_size": plan.trade_size,
        "travel_in": plain(travel.value),
    }
    pointer = run_pointer(run)
    taking.parts.add("expansion_fitting", values, run.expansion_fittings, pointer, reason)
    taking.work.add("fitting_or_pull_box", run.expansion_fittings, reason)


def _take_cement(taking: Taking, run: RunDesign, plan: RacewayPlan) -> None:
    elbows = len(plan.elbows_deg)
    # A bell is glued once; a coupling, an expansion fitting and a body once at each side.
    faces = (
        plan.joints + 2 * elbows + 2 * run.expansion_fittings + plan.body_ends + plan.enclosure_ends
    )
    reason = because(
        "PVC is cemented at every joint, body and adapter.",
        taking.tables.consumables["cement"].source,
        glued_joints=faces,
    )
    use_up(taking, "cement", faces, run_pointer(run), reason)


def _tell_turns_added(taking: Taking, run: RunDesign, plan: RacewayPlan) -> None:
    if not plan.turns_added:
        return
    taking.find(
        "note",
        "UNDERGROUND_TURNS_ADDED",
        f"Run {run.index + 1} turns up out of the earth at both ends, yet fewer than two bends of "
        f"90 degrees are told; {plan.turns_added} more are among the parts, but do not count for "
        "its pull points.",
        f"{run_pointer(run)}/bends_deg",
        "own_convention",
        "List all bends of the run, its two turns upwards with them.",
    )
