"""The sizing tables against geometry, physics and each other."""

from decimal import Decimal
from itertools import pairwise
from pathlib import Path

import pytest
from sizing_cases import read_cases
from sizing_jobs import TABLES

import estimator.sizing
from estimator.published.tables import TableError, package_text
from estimator.sizing import tables
from estimator.sizing.ampacity import next_standard_rating
from estimator.sizing.code_editions import load_editions
from estimator.sizing.expansion import length_change_in
from estimator.sizing.tables import load_sizing_tables
from estimator.units import circle_area_in2

# International Annealed Copper Standard: 10.371 ohm-cmil/ft at 20 C, 0.00393 per K.
COPPER_AT_20_C = Decimal("10.371")
ALUMINIUM_AT_20_C = COPPER_AT_20_C / Decimal("0.61")
STRAND_LAY = Decimal("1.02")
WARMING_K = Decimal(55)
TEMPERATURE_RISE = {
    "cu": 1 + Decimal("0.00393") * WARMING_K,
    "al": 1 + Decimal("0.00403") * WARMING_K,
}


def test_tables_are_read_once():
    first = load_sizing_tables()

    second = load_sizing_tables()

    assert first is second


@pytest.mark.parametrize("row", TABLES.dc, ids=lambda row: f"{row.size} {row.stranding}")
def test_dc_resistance_follows_from_copper_resistivity(row):
    lay = STRAND_LAY if row.stranding == "stranded" else 1

    copper = COPPER_AT_20_C * TEMPERATURE_RISE["cu"] * lay * 1000 / row.circular_mils
    aluminium = ALUMINIUM_AT_20_C * TEMPERATURE_RISE["al"] * lay * 1000 / row.circular_mils

    assert abs(copper / row.cu_ohm_per_kft - 1) < Decimal("0.006")
    assert abs(aluminium / row.al_ohm_per_kft - 1) < Decimal("0.006")


@pytest.mark.parametrize(
    "row", TABLES.ac, ids=lambda row: f"{row.size} {row.material} {row.conduit}"
)
def test_impedance_follows_from_resistance_and_reactance(row):
    impedance = row.r_ohm_per_kft * Decimal("0.85") + row.x_ohm_per_kft * Decimal("0.527")

    # Both printed columns have two digits.
    step = Decimal(1).scaleb(row.z_ohm_per_kft.adjusted() - 1)
    assert abs(impedance - row.z_ohm_per_kft) <= step


def test_drop_uses_table_8_up_to_3_awg_and_table_9_from_2_awg():
    ohms = TABLES.ohm_per_kft["cu", "steel"]

    assert ohms["3 AWG"] == Decimal("0.245")
    assert ohms["2 AWG"] == Decimal("0.2")
    assert list(ohms.values()) == sorted(ohms.values(), reverse=True)


def test_printed_conductor_areas_follow_from_diameters():
    for sizes in TABLES.dimensions.values():
        for row in sizes.values():
            assert abs(circle_area_in2(row.diameter_in) - row.area_in2) < Decimal("0.00006")


@pytest.mark.parametrize(
    ("column", "share"),
    [
        ("total_area_in2", "1"),
        ("area_53_percent_in2", "0.53"),
        ("area_31_percent_in2", "0.31"),
        ("area_40_percent_in2", "0.40"),
        ("area_60_percent_in2", "0.60"),
    ],
)
def test_printed_raceway_areas_follow_from_inside_diameters(column, share):
    for row in TABLES.raceway_rows:
        area = circle_area_in2(row.inside_diameter_in) * Decimal(share)
        assert abs(area - getattr(row, column)) < Decimal("0.0011"), row


def test_ampacity_rises_with_size_and_temperature():
    for sizes in TABLES.ampacity.values():
        assert all(smaller < larger for smaller, larger in pairwise(sizes.values()))
    for material in ("cu", "al"):
        for size, amps in TABLES.ampacity[material, 60].items():
            assert amps <= TABLES.ampacity[material, 75][size]
            assert TABLES.ampacity[material, 75][size] <= TABLES.ampacity[material, 90][size]


def test_ambient_factors_follow_from_the_temperature_rise_left():
    for column, bands in TABLES.ambient.items():
        for hottest_c, factor in bands:
            if factor is not None:
                exact = (Decimal(column - hottest_c) / Decimal(column - 30)).sqrt()
                assert abs(exact - factor) < Decimal("0.006"), (column, hottest_c)


def test_14_awg_is_never_offered_in_aluminium():
    assert ("14 AWG", "cu") in TABLES.small_conductors
    assert ("14 AWG", "al") not in TABLES.small_conductors
    assert "14 AWG" not in TABLES.ampacity["al", 60]


def test_10_a_overcurrent_device_is_new_in_2023():
    assert TABLES.overcurrent["2023"][0] == 10
    assert TABLES.overcurrent["2020"][0] == 15


def test_all_raceways_have_ascending_inside_diameters():
    for raceway, sizes in TABLES.raceways.items():
        assert all(one[1] < other[1] for one, other in pairwise(sizes)), raceway


@pytest.mark.parametrize(
    "row",
    read_cases("pvc_expansion.csv"),
    ids=lambda row: f"{row['temperature_change_f']} F ({row['source']})",
)
def test_pvc_coefficient_gives_the_published_table(row):
    change = length_change_in(Decimal(100), Decimal(row["temperature_change_f"]), TABLES)

    assert abs(change - Decimal(row["change_in_per_100_ft"])) < Decimal("0.0061")


GAUGES = {"1/0 AWG": 0, "2/0 AWG": -1, "3/0 AWG": -2, "4/0 AWG": -3}


def gauge_mils(size):
    """Square of the diameter in mils, by ASTM B258: 0.005 in x 92 to the power (36 - n) / 39."""
    number = GAUGES.get(size)
    if number is None:
        number = int(size.split()[0])
    diameter_in = Decimal("0.005") * Decimal(92) ** (Decimal(36 - number) / 39)
    return (diameter_in * 1000) ** 2


@pytest.mark.parametrize(
    "row",
    [row for row in TABLES.dc if row.size.endswith("AWG")],
    ids=lambda row: f"{row.size} {row.stranding} (ASTM B258)",
)
def test_area_and_resistance_follow_from_the_gauge_diameter(row):
    lay = STRAND_LAY if row.stranding == "stranded" else 1
    mils = gauge_mils(row.size)

    copper = COPPER_AT_20_C * TEMPERATURE_RISE["cu"] * lay * 1000 / mils
    aluminium = ALUMINIUM_AT_20_C * TEMPERATURE_RISE["al"] * lay * 1000 / mils

    assert abs(mils / row.circular_mils - 1) < Decimal("0.001")
    assert abs(copper / row.cu_ohm_per_kft - 1) < Decimal("0.007")
    assert abs(aluminium / row.al_ohm_per_kft - 1) < Decimal("0.007")


FILES = sorted(path.name for path in (Path(estimator.sizing.__path__[0]) / "tables").glob("*.csv"))
# In these the order of the rows is the order in which they are tried.
IN_ORDER = {"bundling", "equipment_grounds", "fill_limits", "terminal_columns", "cord_sets"}


@pytest.fixture
def read_anew(monkeypatch):
    """The tables read again, each file's text changed on the way."""

    def read(change):
        def text(package, name):
            return change(name.removeprefix("tables/"), package_text(package, name))

        monkeypatch.setattr(tables, "package_text", text)
        return load_sizing_tables.__wrapped__()

    return read


def test_tables_read_anew_are_the_same(read_anew):
    load_editions.cache_clear()

    again = read_anew(lambda _, text: text)

    assert again == TABLES


def test_order_of_rows_in_a_file_does_not_matter(read_anew):
    def turned(name, text):
        head, *rows = text.splitlines()
        return "\n".join([head, *(rows if Path(name).stem in IN_ORDER else rows[::-1])]) + "\n"

    again = read_anew(turned)

    for one in ("ampacity", "cables", "dimensions", "ohm_per_kft"):
        lookup = getattr(TABLES, one)
        assert {key: list(sizes) for key, sizes in getattr(again, one).items()} == {
            key: list(sizes) for key, sizes in lookup.items()
        }
    for one in ("ambient", "overcurrent", "raceways", "cords", "switches", "transfer_panels"):
        assert getattr(again, one) == getattr(TABLES, one)
    assert again.splice_sizes == TABLES.splice_sizes
    assert [box.volume_in3 for box in again.boxes] == sorted(box.volume_in3 for box in TABLES.boxes)


@pytest.mark.parametrize("doubled", FILES)
def test_a_row_that_stands_twice_is_refused(read_anew, doubled):
    def twice(name, text):
        return text + text.splitlines()[-1] + "\n" if name == doubled else text

    with pytest.raises(TableError, match=doubled):
        read_anew(twice)


def test_a_limit_without_its_field_is_named(read_anew):
    def renamed(name, text):
        return text.replace("\nnipple_fill_percent,", "\nnipple_fill,")

    with pytest.raises(LookupError, match=r"differ in nipple_fill, nipple_fill_percent$"):
        read_anew(renamed)


@pytest.mark.parametrize("edition", TABLES.editions)
@pytest.mark.parametrize(
    ("size", "material"),
    [("14 AWG", "cu"), ("12 AWG", "cu"), ("10 AWG", "cu"), ("12 AWG", "al"), ("10 AWG", "al")],
)
def test_small_conductors_carry_at_60_c_what_may_protect_them(size, material, edition):
    """NFPA 70 240.4(D) against Table 310.16: what the check of the house's wires builds on."""
    ampacity = TABLES.ampacity[material, 60][size]

    allowed = next_standard_rating(ampacity, edition, TABLES)

    assert allowed == TABLES.small_conductors[size, material]
