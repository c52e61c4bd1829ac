"""Complete site, supply, inlet, transfer equipment and load centre."""

from decimal import Decimal

from estimator.job.configurations import Configuration
from estimator.job.filling import Filling
from estimator.job.records import (
    Inlet,
    LoadCentre,
    Site,
    Supply,
    Surface,
    System,
    Transfer,
    TransferMethod,
)

_ONE_LEG_OUTLETS = ((30, "L5-30"), (0, "L5-20"))
_WHIP_FT = Decimal("1.5")
_SMALLEST_SUBPANEL_A = 60


def fill_site(site: Filling) -> Site:
    """Where the house is, complete."""
    return Site(
        region=site.constant("region"),
        code_edition=site.constant("code_edition"),
        indoor_ambient_c=site.constant("indoor_ambient_c"),
        outdoor_ambient_c=site.constant("outdoor_ambient_c"),
        residence=site.constant("residence"),
        built_before_sale=site.constant("built_before_sale"),
    )


def fill_supply(supply: Filling, inlet: Configuration) -> Supply:
    """The supply, complete: it fits the inlet unless something else is told."""
    kind = supply.constant("kind")
    system: System = supply.derived(
        "system", inlet.system, f"the {inlet.configuration} inlet is for {inlet.system} V"
    )
    continuous_w = supply.constant("continuous_w")
    return Supply(
        kind=kind,
        portable=_portable(supply, kind),
        system=system,
        continuous_w=continuous_w,
        surge_w=supply.constant("surge_w"),
        leg_limit_w=_leg_limit(supply, system, continuous_w),
        outlet=_outlet(supply, system, inlet),
        neutral=supply.constant("neutral"),
        outlet_gfci=supply.constant("outlet_gfci"),
        usable_kwh=supply.constant("usable_kwh"),
        nameplate_kwh=supply.constant("nameplate_kwh"),
        efficiency=supply.constant("efficiency"),
        idle_w=supply.constant("idle_w"),
        cycle_life=supply.constant("cycle_life"),
        capacity_after_cycle_life=supply.constant("capacity_after_cycle_life"),
        solar_input_w=supply.constant("solar_input_w"),
        ac_input_w=supply.constant("ac_input_w"),
        price=supply.constant("price"),
    )


def _portable(supply: Filling, kind: str) -> bool:
    portable: bool = supply.derived(
        "portable",
        kind != "battery",
        "a supply with a cord and an inlet can be moved, unless it is a battery on the wall",
        "common_practice",
    )
    return portable


def _leg_limit(supply: Filling, system: System, continuous_w: Decimal | None) -> Decimal | None:
    limit: Decimal | None
    if system == "120":
        because = "a 120 V supply has one leg"
        limit = supply.derived("leg_limit_w", None, because, says="no second leg")
    elif continuous_w is None:
        limit = supply.derived("leg_limit_w", None, "the continuous rating is not known")
    else:
        because = "one leg of a split-phase supply gives half the continuous rating"
        limit = supply.derived("leg_limit_w", continuous_w / 2, because)
    return limit


def _outlet(supply: Filling, system: System, inlet: Configuration) -> str:
    outlet = inlet.configuration
    because = "the outlet is taken to be of the same form as the inlet"
    if system == "120" and inlet.system != "120":
        outlet = next(key for amps, key in _ONE_LEG_OUTLETS if inlet.amps >= amps)
        because = f"a 120 V supply has no {inlet.configuration} outlet"
    told: str = supply.derived("outlet", outlet, because)
    return told


def fill_inlet(inlet: Filling, mounting_surface: Surface) -> Inlet:
    """The power inlet, complete."""
    return Inlet(
        configuration=inlet.told("configuration"),
        place=inlet.constant("place"),
        exposure=inlet.constant("exposure"),
        surface=_same_surface(inlet, mounting_surface),
        mounting=inlet.constant("mounting"),
        terminal_temp_c=inlet.constant("terminal_temp_c"),
    )


def fill_transfer(
    transfer: Filling,
    inlet: Configuration,
    mounting_surface: Surface,
    whip_ft: Decimal | None,
    main_a: int,
) -> Transfer:
    """The transfer equipment, complete.

    whip_ft: length of the runs from there to the load centre, None when they are not told [ft].
    main_a: rating of the load centre's main [A].
    """
    method: TransferMethod = transfer.constant("method")
    whip_because = (
        "the cabinet usually hangs beside the load centre"
        if whip_ft is None
        else "as long as the runs from there to the load centre"
    )
    return Transfer(
        method=method,
        spaces=transfer.constant("spaces"),
        factory_whip=_factory_whip(transfer, method),
        whip_length_ft=transfer.derived(
            "whip_length_ft", _WHIP_FT if whip_ft is None else whip_ft, whip_because
        ),
        switched_neutral=transfer.constant("switched_neutral"),
        surface=_same_surface(transfer, mounting_surface),
        mounting=transfer.constant("mounting"),
        rating_a=_transfer_rating(transfer, method, inlet, main_a),
        terminal_temp_c=transfer.constant("terminal_temp_c"),
        load_management=transfer.constant("load_management"),
    )


def _factory_whip(transfer: Filling, method: TransferMethod) -> bool:
    whip: bool
    if method == "manual_switch":
        whip = transfer.constant("factory_whip")
    else:
        because = "only manual switches are sold with conduit and conductors attached"
        whip = transfer.derived("factory_whip", False, because, "common_practice")
    return whip


def _transfer_rating(
    transfer: Filling, method: TransferMethod, inlet: Configuration, main_a: int
) -> int:
    rating, because = inlet.amps, "the equipment has to carry what the inlet lets in"
    source = "own_convention"
    if method == "subpanel" and inlet.amps < _SMALLEST_SUBPANEL_A:
        rating, source = _SMALLEST_SUBPANEL_A, "common_practice"
        because = "the smallest rating in which transfer subpanels are made"
    elif method == "automatic_switch":
        rating, source = max(main_a, inlet.amps), "nec_transfer_equipment"
        because = "on the utility the switch carries what the load centre's main lets through"
    told: int = transfer.derived("rating_a", rating, because, source)
    return told


def fill_load_centre(centre: Filling, mounting_surface: Surface) -> LoadCentre:
    """The existing panel, complete."""
    role = centre.constant("role")
    service = role == "service"
    main_a = centre.constant("main_a")
    return LoadCentre(
        role=role,
        main_a=main_a,
        bus_a=_bus(centre, main_a),
        free_spaces=centre.constant("free_spaces"),
        neutral_ground=centre.derived(
            "neutral_ground",
            "bonded" if service else "separate",
            "neutral and ground are bonded at the service and nowhere after it",
            "nec_subpanel_neutral",
        ),
        gutter_in=centre.constant("gutter_in"),
        surface=_same_surface(centre, mounting_surface),
        terminal_temp_c=centre.constant("terminal_temp_c"),
    )


def _bus(centre: Filling, main_a: int) -> int:
    bus: int
    if centre.tells("main_a"):
        because = "the bus of a panel is not below the main that protects it"
        bus = centre.derived("bus_a", main_a, because, "nec_panel_ocpd")
    else:
        bus = centre.constant("bus_a")
    return bus


def _same_surface(part: Filling, mounting_surface: Surface) -> Surface:
    surface: Surface = part.derived(
        "surface", mounting_surface, "it is mounted on mounting_surface like the rest"
    )
    return surface
