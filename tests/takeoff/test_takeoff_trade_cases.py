"""Situations met in the trade that are about parts and hours, with their answers.

Sources: public question threads and articles, retold; the rules are named in each test.
"""

from decimal import Decimal

from takeoff_flow import quantity, take, tasks


def test_c19_flush_switch_in_a_finished_wall() -> None:
    """NFPA 70 300.4(A): a plate where the stud is bored; the patch is in, the paint is not."""
    switch = {"method": "manual_switch", "mounting": "flush"}
    taken = take(mounting_surface="stud_drywall", transfer=switch)
    surface = take(mounting_surface="stud_drywall")

    assert quantity(taken, "nail_plate") == 2
    assert quantity(taken, "drywall_patch") == 1
    assert {"mount_switch_flush", "drywall_patch"} <= tasks(taken).keys()
    assert "mount_switch_surface" not in tasks(taken)
    assert taken.result.hours - surface.result.hours >= Decimal("2.5")
    assert "PAINT_EXCLUDED" in {finding.code for finding in taken.result.findings}


def test_c21_interlock_or_transfer_switch_with_the_same_inlet_and_run() -> None:
    """A switch adds moved circuits, whip and mounting; an interlock adds moved breakers."""
    switch, interlock = (take(transfer={"method": one}) for one in ("manual_switch", "interlock"))
    both = {"mount_inlet_surface", "emt_small", "pull_small"}

    for name in both:
        assert tasks(switch)[name] == tasks(interlock)[name]
    added = tasks(switch).keys() - tasks(interlock).keys()
    assert {"mount_switch_surface", "connect_whip", "move_circuit_120"} <= added
    assert tasks(interlock).keys() - tasks(switch).keys() == {
        "fit_interlock", "two_pole_breaker", "move_breaker",
    }  # fmt: skip
    assert switch.result.hours > interlock.result.hours


def test_c27_a_bushing_or_an_insulated_throat_but_not_both() -> None:
    """NFPA 70 300.4(G): from 4 AWG one bushing an end, beside connectors with a plain throat."""
    run = {
        "from": "inlet", "to": "transfer", "length_ft": 18, "wiring_method": "EMT",
        "conductor_material": "al",
    }  # fmt: skip
    subpanel = {"method": "subpanel", "rating_a": 60, "factory_whip": False}
    taken = take(inlet="14-50", transfer=subpanel, runs=[run])

    assert quantity(taken, "conductor", size="4 AWG", material="al") > 0
    assert quantity(taken, "insulating_bushing") == quantity(taken, "raceway_connector")
