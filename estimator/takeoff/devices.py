"""The inlet box and the supply cord, with how the inlet is mounted."""

from decimal import Decimal

from estimator.basis import because
from estimator.takeoff.anchors import fasten
from estimator.takeoff.flush import cut_opening
from estimator.takeoff.taking import Taking, in_weather
from estimator.units import plain


def take_inlet(taking: Taking) -> None:
    """The inlet box and its mounting."""
    inlet = taking.job.inlet
    weather = in_weather(inlet.exposure, inlet.place) or inlet.exposure == "damp"
    reason = because(
        "An inlet in the weather sits in an enclosure made for it."
        if weather
        else "An inlet in a dry place takes an indoor enclosure.",
        "nec_inlet_cover",
        exposure=inlet.exposure,
        place=inlet.place,
    )
    taking.parts.add(
        "power_inlet_box",
        {
            "configuration": inlet.configuration,
            "enclosure": "3R" if weather else "1",
            "mounting": inlet.mounting,
        },
        1,
        "/inlet",
        reason,
    )
    flush = inlet.mounting == "flush"
    surface = taking.tables.surfaces[inlet.surface]
    fasten(
        taking,
        "inlet_box",
        1,
        inlet.surface,
        "/inlet",
        exposure="wet" if in_weather(inlet.exposure, inlet.place) else inlet.exposure,
        flush=flush,
    )
    if surface.siding and not flush:
        block = because("A block gives the box a flat, sealed seat on siding.", surface.source)
        taking.parts.add("mounting_block", {"for": "inlet box"}, 1, "/inlet", block)
    mounted = because(
        f"The inlet box goes {'into' if flush else 'on'} {inlet.surface.replace('_', ' ')}.",
        "job_description",
    )
    task = "mount_inlet_flush" if flush else "mount_inlet_surface"
    taking.work.add(task, 1, mounted, masonry=surface.masonry)
    if flush:
        _cut_in(taking)
    if in_weather(inlet.exposure, inlet.place) and not surface.weather:
        taking.find(
            "warning",
            "SURFACE_NOT_FOR_WEATHER",
            f"The inlet is in the weather, yet its wall is {inlet.surface.replace('_', ' ')}, "
            "an indoor surface.",
            "/inlet/surface",
            "common_practice",
            "Give the surface of the outer wall where the inlet will be.",
        )


def _cut_in(taking: Taking) -> None:
    inlet = taking.job.inlet
    if (inlet.surface, "flush") not in taking.tables.anchors:
        return
    cut_opening(taking, inlet.surface, "/inlet")
    taking.find(
        "note",
        "INLET_FINISH_EXCLUDED",
        f"The inlet box is cut into {inlet.surface.replace('_', ' ')}; its own flange covers the "
        "cut, and trim, patch and paint beyond it are in neither parts nor hours.",
        "/inlet/mounting",
        "own_convention",
        "Agree who mends the finish, and add it by hand if it is you.",
    )


def take_cord(taking: Taking) -> None:
    """The supply cord in the shortest stock length that reaches."""
    cord = taking.design.cord
    stocked = [
        row
        for row in taking.tables.cord_sets
        if row.conductor_size == cord.conductor_size and row.conductors == cord.conductors
    ]
    row = next((row for row in stocked if row.length_ft >= cord.length_ft), None)
    if row is not None:
        name, length, source = row.cord, row.length_ft, row.source
        text = "The shortest stocked cord that reaches."
    else:
        name = f"{cord.conductor_size.removesuffix(' AWG')}/{cord.conductors}"
        length, source = cord.length_ft, "common_practice"
        text = "No stocked cord reaches, so one is made up to length."
        _tell_made_up(taking, name, length)
    reason = because(text, source, wanted_ft=cord.length_ft, conductor_size=cord.conductor_size)
    taking.parts.add(
        "cord_set",
        {
            "plug": cord.plug,
            "connector": cord.connector,
            "cord": name,
            "length_ft": plain(length),
        },
        1,
        "/cord_length_ft",
        reason,
    )


def _tell_made_up(taking: Taking, name: str, length_ft: Decimal) -> None:
    taking.find(
        "warning",
        "CORD_MADE_TO_LENGTH",
        f"A {plain(length_ft)} ft {name} supply cord is not in the usual stock lengths; it has to "
        "be made up.",
        "/cord_length_ft",
        "common_practice",
        "Move the supply nearer to the inlet, or order the cord made up and tested.",
    )
