"""Cautions: read strictly, shown when the job calls for them."""

from dataclasses import replace
from decimal import Decimal

import pytest
from documents_job import circuit, make_job

from estimator.documents.caution_triggers import TRIGGERS
from estimator.documents.cautions import (
    CautionsError,
    cautions_for,
    load_cautions,
    parse_cautions,
)
from estimator.job.records import Job

GOOD = """
[[caution]]
id = "one"
trigger = "always"
severity = "notice"
text = "Be careful."
source = "common_practice"
"""


def _ids(job: Job) -> set[str]:
    return {caution.id for caution in cautions_for(job)}


def _parse(text: str) -> None:
    parse_cautions(text, name="x.toml", sources={"common_practice"})


def test_every_trigger_is_used_by_some_caution() -> None:
    assert {caution.trigger for caution in load_cautions()} == set(TRIGGERS)


def test_dangers_come_first_and_notices_last() -> None:
    order = [caution.severity for caution in cautions_for(make_job())]

    assert order == sorted(order, key=["danger", "warning", "notice"].index)
    assert {"danger", "warning", "notice"} == set(order)


@pytest.mark.parametrize(
    "caution",
    [
        "defer_to_code", "backfeed", "double_male_cord", "live_service_conductors",
        "qualified_person", "lockout", "torque", "permit_and_inspection", "restore_sequence",
        "tax",
    ],
)  # fmt: skip
def test_some_cautions_stand_on_every_job(caution: str) -> None:
    assert caution in _ids(make_job())


def _plain_job() -> Job:
    """Indoors on wood, floating neutral, one lamp: nothing special to warn of."""
    job = make_job()
    indoors = {"surface": "plywood", "place": "indoor", "exposure": "dry"}
    return replace(
        job,
        circuits=(circuit("Lamp", 60),),
        supply=replace(job.supply, kind="battery", portable=False),
        inlet=replace(job.inlet, **indoors),
        transfer=replace(job.transfer, surface="plywood"),
        load_centre=replace(job.load_centre, surface="plywood"),
        runs=tuple(replace(run, **indoors, wall_penetrations=0) for run in job.runs),
    )


def _changed(**changes: dict[str, object]) -> Job:
    job = _plain_job()
    return replace(job, **{room: replace(getattr(job, room), **c) for room, c in changes.items()})


def _with_circuit(**changes: object) -> Job:
    return replace(_plain_job(), circuits=(circuit("Lamp", 60, **changes),))


def _with_run(**changes: object) -> Job:
    job = _plain_job()
    return replace(job, runs=(replace(job.runs[0], **changes),))


@pytest.mark.parametrize(
    ("caution", "job"),
    [
        ("carbon_monoxide", _changed(supply={"kind": "generator"})),
        ("fuel", _changed(supply={"kind": "generator"})),
        ("portable_not_fixed", _changed(supply={"kind": "power_station", "portable": True})),
        ("neutral_bond", _changed(supply={"neutral": "bonded"})),
        ("neutral_bond", _changed(supply={"neutral": "unknown"})),
        ("ground_fault_outlet", _changed(supply={"outlet_gfci": True})),
        ("supply_120_v", _changed(supply={"system": "120"})),
        ("medical_device", _with_circuit(life_support=True)),
        ("shared_neutral", _with_circuit(shared_neutral_with="Other")),
        ("protected_circuit", _with_circuit(protection="afci")),
        ("motor_start", _with_circuit(starting_w=Decimal(180))),
        ("aluminium", _with_circuit(conductor_material="al")),
        ("aluminium", _with_run(conductor_material="al")),
        ("silica_dust", _with_run(surface="brick")),
        ("silica_dust", _changed(inlet={"surface": "concrete_block"})),
        ("silica_dust", _changed(transfer={"surface": "poured_concrete"})),
        ("underground_lines", _with_run(place="underground")),
        ("wet_location", _with_run(place="outdoor")),
        ("wet_location", _changed(inlet={"place": "outdoor"})),
        ("fire_spread", _with_run(wall_penetrations=1)),
        ("old_finishes", _with_run(finished_wall=True)),
        ("bored_framing", _changed(transfer={"mounting": "flush"})),
        ("back_fed_breaker", _changed(transfer={"method": "interlock"})),
        ("overload", _changed(transfer={"method": "interlock"})),
        ("utility_notice", _changed(transfer={"method": "automatic_switch"})),
        ("utility_disconnect", _changed(transfer={"method": "automatic_switch"})),
        ("starts_by_itself", _changed(transfer={"method": "automatic_switch"})),
        ("heavy_cabinet", _changed(transfer={"method": "automatic_switch"})),
        ("bars_apart", _changed(transfer={"method": "automatic_switch"})),
        ("bars_apart", _changed(transfer={"method": "subpanel"})),
        ("silica_dust", _changed(transfer={"surface": "stucco_on_frame"})),
        ("ladder", _changed(labour={"factors": ("high_ladder",)})),
        ("ladder", _changed(inlet={"place": "outdoor"})),
        ("own_work", _changed(labour={"skill": "own"})),
    ],
)
def test_a_caution_appears_when_the_job_calls_for_it(caution: str, job: Job) -> None:
    assert caution not in _ids(_plain_job())
    assert caution in _ids(job)


def test_a_generator_is_no_heavy_battery() -> None:
    assert "heavy_battery" in _ids(_plain_job())
    assert "heavy_battery" not in _ids(_changed(supply={"kind": "generator"}))


def test_a_load_just_below_three_times_its_running_power_is_no_hard_start() -> None:
    assert "motor_start" not in _ids(_with_circuit(starting_w=Decimal("179.9")))


def test_switching_the_neutral_settles_the_bond() -> None:
    job = _changed(supply={"neutral": "bonded"}, transfer={"switched_neutral": True})

    assert "neutral_bond" not in _ids(job)


def test_a_good_file_is_read() -> None:
    _parse(GOOD)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", r"x\.toml: must hold \[\[caution\]\] entries"),
        ("caution = 1", r"must hold \[\[caution\]\] entries"),
        ("caution = [1]", "caution 1: is not a table of fields"),
        ("[[caution", "x.toml: "),
        (GOOD + 'colour = "red"', "caution 1: unknown field colour"),
        (GOOD.replace('id = "one"\n', ""), "caution 1: field id is missing"),
        (GOOD.replace('"Be careful."', '" "'), "field text must be text and not blank"),
        (GOOD.replace('"Be careful."', "3"), "field text must be text and not blank"),
        (
            GOOD.replace('"always"', '"sometimes"'),
            "trigger 'sometimes' is not one of above_reach, ahead_of_service, ",
        ),
        (GOOD.replace('"notice"', '"mild"'), "severity 'mild' is not one of danger, warning"),
        (GOOD.replace('"common_practice"', '"hearsay"'), "'hearsay' is not a key of sources"),
        (GOOD + GOOD, "caution 2: id 'one' stands twice"),
    ],
)
def test_a_broken_file_is_refused_by_name_and_place(text: str, message: str) -> None:
    with pytest.raises(CautionsError, match=message):
        _parse(text)


def test_all_faults_are_told_at_once() -> None:
    broken = GOOD.replace('"always"', '"x"') + GOOD.replace('"notice"', '"y"').replace("one", "2")

    with pytest.raises(CautionsError) as refused:
        _parse(broken)

    assert len(str(refused.value).splitlines()) == 2
