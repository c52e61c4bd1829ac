"""What differs between code editions is data, and findings say which edition they used."""

from dataclasses import fields
from decimal import Decimal
from typing import get_args

import pytest
from sizing_jobs import FEEDER, TABLES, codes, designed, finding_of, with_feeder

from estimator.job.records import CodeEdition
from estimator.published.sources import load_sources
from estimator.published.tables import package_text
from estimator.sizing.code_editions import (
    EditionError,
    EditionRules,
    editions_of,
    load_editions,
    parse_edition,
)

SOURCES = load_sources()
INDOORS = {"place": "indoor", "exposure": "dry"}


def text_of(edition: str) -> str:
    return package_text("estimator.sizing.editions", f"{edition}.toml")


def test_every_edition_that_a_job_may_name_has_its_file() -> None:
    assert tuple(load_editions()) == get_args(CodeEdition)
    assert all(rules.edition == edition for edition, rules in load_editions().items())


def test_every_rule_of_the_record_is_read_from_the_file() -> None:
    names = {field.name for field in fields(EditionRules)} - {"edition"}

    for edition in get_args(CodeEdition):
        assert all(f"[{name}]" in text_of(edition) for name in names)


@pytest.mark.parametrize(
    ("edition", "ratings", "inlet", "surge", "discharge", "roof", "blocks"),
    [
        ("2020", (), None, False, None, "0.875", False),
        ("2023", (10,), Decimal(15000), True, Decimal(10), "0.75", True),
    ],
)
def test_the_editions_differ_as_published(
    edition: CodeEdition,
    ratings: tuple[int, ...],
    inlet: Decimal | None,
    surge: bool,
    discharge: Decimal | None,
    roof: str,
    blocks: bool,
) -> None:
    rules = TABLES.editions[edition]

    assert rules.added_standard_ratings_a == ratings
    assert rules.inlet_outdoors_max_w == inlet
    assert rules.feeder_surge_protection is surge
    assert rules.surge_discharge_min_ka == discharge
    assert rules.roof_clearance_in == Decimal(roof)
    assert rules.terminal_blocks_counted is blocks


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (("[roof_adder_c]", "[roof_heat_c]"), "unknown rule roof_heat_c"),
        (("[roof_adder_c]", "[roof_heat_c]"), "rule roof_adder_c is missing"),
        (('value = "33"', "value = 33"), "roof_adder_c: value 33 must be a number written"),
        (('value = "33"', 'value = "hot"'), "roof_adder_c: value 'hot' must be a number"),
        (('value = "33"\n', ""), "roof_adder_c: value None must be a number"),
        (('value = "15000"', 'value = "NaN"'), "inlet_outdoors_max_w: value 'NaN'"),
        (("value = [10]", "value = [true]"), "added_standard_ratings_a: value [True] must be"),
        (("value = [10]", 'value = "10"'), "added_standard_ratings_a: value '10' must be"),
        (('"nec_spd_feeder"', '"nec_nowhere"'), "'nec_nowhere' is not a key of sources.toml"),
        (('source = "nec_spd_feeder"\n', ""), "field source must be text"),
        (("says = ", "tells = "), "unknown field tells"),
        (("value = [10]", "value = ["), "2023.toml: "),
    ],
)
def test_a_broken_edition_is_refused(change: tuple[str, str], told: str) -> None:
    text = text_of("2023").replace(*change, 1)

    with pytest.raises(EditionError) as caught:
        parse_edition(text, "2023", SOURCES)

    assert told in str(caught.value)


def test_a_rule_that_is_no_table_is_refused() -> None:
    cut = text_of("2023").partition("[roof_adder_c]")
    rest = cut[2][cut[2].index("\n[") :]

    with pytest.raises(EditionError, match=r"2023\.toml, roof_adder_c: is not a table of fields"):
        parse_edition("roof_adder_c = 33\n" + cut[0] + rest, "2023", SOURCES)


def test_all_faults_of_an_edition_are_told_at_once() -> None:
    text = text_of("2023").replace('value = "33"', "value = 33").replace("[10]", "[0]")

    with pytest.raises(EditionError) as caught:
        parse_edition(text, "2023", SOURCES)

    assert len(str(caught.value).splitlines()) == 2


def test_files_and_the_editions_of_a_job_have_to_agree() -> None:
    one, both = {"2023": text_of("2023")}, {e: text_of(e) for e in get_args(CodeEdition)}

    with pytest.raises(EditionError, match="no file for 2020"):
        editions_of(one, SOURCES)
    with pytest.raises(EditionError, match=r"2026\.toml: is not an edition of CodeEdition"):
        editions_of({**both, "2026": text_of("2023")}, SOURCES)


def test_an_indoor_inlet_is_an_error_in_2023_only_and_says_so() -> None:
    newer = designed(inlet=INDOORS)
    older = designed(inlet=INDOORS, site={"code_edition": "2020"})

    found = finding_of(newer, "INLET_NOT_OUTDOORS")
    assert found.message.startswith("NFPA 70 (2023): the inlet of a portable supply of 15 kW")
    assert "NFPA 70 (2020) has no such rule" in found.remedy
    assert "INLET_NOT_OUTDOORS" not in codes(older)


@pytest.mark.parametrize(("edition", "wanted"), [("2023", True), ("2020", False)])
def test_a_subpanel_wants_surge_protection_from_2023_on(edition: str, wanted: bool) -> None:
    design = designed(transfer={"method": "subpanel"}, site={"code_edition": edition})

    assert ("SURGE_PROTECTION" in codes(design)) is wanted
    if wanted:
        assert "NFPA 70 (2023)" in finding_of(design, "SURGE_PROTECTION").message


@pytest.mark.parametrize("method", ["manual_switch", "interlock"])
def test_what_replaces_no_equipment_wants_no_surge_protection(method: str) -> None:
    design = designed(transfer={"method": method})

    assert design.surge_protector is None
    assert "SURGE_PROTECTION" not in codes(design)


@pytest.mark.parametrize(
    ("method", "role", "edition", "wanted"),
    [
        # 215.18 came with 2023; 230.67 asks for one at new service equipment since 2020, and
        # for a rating since 2023. Behind a feeder nothing with branch breakers is new.
        ("subpanel", "service", "2023", Decimal(10)),
        ("subpanel", "subpanel", "2023", Decimal(10)),
        ("automatic_switch", "service", "2023", Decimal(10)),
        ("automatic_switch", "service", "2020", None),
    ],
)
def test_the_design_names_the_surge_protector_to_be_counted(
    method: str, role: str, edition: str, wanted: Decimal | None
) -> None:
    design = designed(
        transfer={"method": method},
        load_centre={"role": role},
        site={"code_edition": edition},
    )

    assert design.surge_protector is not None
    assert design.surge_protector.at == "transfer"
    assert design.surge_protector.kinds == (1, 2)
    assert design.surge_protector.discharge_ka == wanted
    assert "SURGE_PROTECTION" in codes(design)


def test_an_automatic_switch_behind_a_feeder_wants_no_surge_protection() -> None:
    behind = designed(transfer={"method": "automatic_switch"}, load_centre={"role": "subpanel"})

    assert behind.surge_protector is None
    assert "SURGE_PROTECTION" not in codes(behind)


@pytest.mark.parametrize(("edition", "clearance"), [("2023", "0.75"), ("2020", "0.875")])
def test_a_sunny_run_is_told_the_clearance_of_its_edition(edition: str, clearance: str) -> None:
    sunny = with_feeder(place="outdoor", exposure="wet", sun_exposed=True)

    found = finding_of(designed(runs=sunny, site={"code_edition": edition}), "ROOF_CLEARANCE")

    assert f"closer than {clearance} in (NFPA 70 ({edition}))" in found.message


@pytest.mark.parametrize(
    "change",
    [
        {"sun_exposed": False, "place": "outdoor"},
        {"sun_exposed": True, "place": "indoor"},
        {"sun_exposed": True, "place": "outdoor", "insulation": "XHHW-2"},
    ],
)
def test_shaded_indoor_and_excepted_runs_are_not_told_of_roofs(change: dict[str, object]) -> None:
    assert FEEDER.sun_exposed is False

    assert "ROOF_CLEARANCE" not in codes(designed(runs=with_feeder(**change)))


def test_a_rule_absent_in_an_edition_is_not_cited_as_if_it_were_there() -> None:
    assert "no such section" in SOURCES["nec_spd_feeder"].cite("2020")
    assert "no such section" not in SOURCES["nec_spd_feeder"].cite("2023")
