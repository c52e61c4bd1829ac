"""What heat leaves of a cord: 400.5(A) corrects its table by the factors for 60 C."""

from decimal import Decimal

import pytest
from sizing_jobs import TABLES, a_circuit, codes, designed, finding_of

from estimator.sizing.cord import in_heat

# Each leg 24.6 A at 120 V.
LEG_24_6_A = Decimal(2952)


@pytest.mark.parametrize(
    ("ambient", "carries"),
    [
        # Table 310.15(B)(1)(1), column of 60 C, times the 30 A of a 10 AWG cord.
        ("25", "32.4"),
        ("30", "30"),
        ("31", "27.3"),
        ("40", "24.6"),
        ("40.1", "21.3"),
        ("55", "12.3"),
        ("56", "0"),
    ],
)
def test_a_cord_carries_what_the_factor_of_its_band_leaves(ambient: str, carries: str) -> None:
    assert in_heat(Decimal(30), Decimal(ambient), TABLES) == Decimal(carries)


def test_the_cord_lies_where_its_inlet_is() -> None:
    site = {"outdoor_ambient_c": Decimal(40), "indoor_ambient_c": Decimal(20)}

    outside = designed(site=site).cord
    inside = designed(site=site, inlet={"place": "indoor"}).cord

    assert (outside.ambient_c, outside.heat_ampacity_a) == (40, Decimal("24.6"))
    assert (inside.ambient_c, inside.heat_ampacity_a) == (20, Decimal("34.5"))


def test_heat_does_not_enlarge_a_listed_cord_set() -> None:
    hot = designed(site={"outdoor_ambient_c": Decimal(50)}).cord

    assert (hot.conductor_size, hot.ampacity_a) == ("10 AWG", 30)


def test_at_what_the_cord_carries_nothing_is_said_and_above_it_a_note_then_a_warning() -> None:
    hot = {"outdoor_ambient_c": Decimal(40)}
    just = {"continuous_w": 2 * LEG_24_6_A}
    above = {"continuous_w": 2 * LEG_24_6_A + 1}

    def design(watts: Decimal, supply: dict[str, Decimal]):
        return designed(
            a_circuit("One", watts, breaker_a=30),
            a_circuit("Two", watts, breaker_a=30),
            site=hot,
            supply=supply,
        )

    assert "CORD_IN_HEAT" not in codes(design(LEG_24_6_A, just))
    assert finding_of(design(LEG_24_6_A, above), "CORD_IN_HEAT").severity == "note"
    assert finding_of(design(LEG_24_6_A + 1, above), "CORD_IN_HEAT").severity == "warning"


def test_the_outlet_limits_what_can_flow_through_the_cord() -> None:
    # 12 AWG carries 25 A, at 40 C 20.5 A, more than the 20 A that the outlet lets through.
    design = designed(
        a_circuit(), supply={"outlet": "L14-20"}, site={"outdoor_ambient_c": Decimal(40)}
    )

    assert design.cord.heat_ampacity_a == Decimal("20.5")
    assert "CORD_IN_HEAT" not in codes(design)
