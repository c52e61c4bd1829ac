"""The pictures: well-formed, told in words, with the sizes of the design itself."""

import re
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from conftest import SAMPLE_DAY, sample_jobs, sample_lists
from lxml import etree

from estimator import usecases
from estimator.documents import pictures
from estimator.documents.pictures.svg import lines_of
from estimator.documents.records import FullEstimate

SVG = "{http://www.w3.org/2000/svg}"
DRAW: dict[str, Callable[[FullEstimate], str]] = {
    name: getattr(pictures, name) for name in pictures.__all__
}
HOSTILE = '<script>alert("x")</script> & ]]> \N{ARABIC LETTER ALEF}\U0001f50c\x0b' + "W" * 500


def estimate_of(job: Path) -> FullEstimate:
    lists = [(path.name, path.read_bytes()) for path in sample_lists()[:1]]
    return usecases.estimate_files((job.name, job.read_bytes()), lists, today=SAMPLE_DAY)


ESTIMATES = {path.stem: estimate_of(path) for path in sample_jobs()}
both = pytest.mark.parametrize(
    ("job", "picture"), [(job, picture) for job in ESTIMATES for picture in DRAW]
)


def words_of(svg: str) -> str:
    root = etree.fromstring(svg.encode())
    return " ".join("".join(text.itertext()) for text in root.iter(f"{SVG}text"))


@both
def test_a_picture_is_well_formed_and_told_in_words(job: str, picture: str) -> None:
    root = etree.fromstring(DRAW[picture](ESTIMATES[job]).encode())

    assert root.tag == f"{SVG}svg"
    assert root.get("role") == "img"
    assert root.findtext(f"{SVG}title")
    assert len(root.findtext(f"{SVG}desc") or "") > 20


@both
def test_no_words_stand_outside_of_the_picture(job: str, picture: str) -> None:
    root = etree.fromstring(DRAW[picture](ESTIMATES[job]).encode())
    width, height = (float(each) for each in (root.get("viewBox") or "").split()[2:])

    for text in root.iter(f"{SVG}text"):
        assert 0 <= float(text.get("y") or -1 if text.get("x") else 0) <= height
        # A sans-serif letter is about 0.55 of its size wide.
        size = float(text.get("font-size") or 14)
        length = 0.55 * size * len("".join(text.itertext()))
        start = float(text.get("x") or 0)
        if text.get("text-anchor") is None:
            assert start + length <= width + 10, "".join(text.itertext())
        elif text.get("text-anchor") == "end":
            assert start - length >= 0


@pytest.mark.parametrize("job", ESTIMATES)
def test_the_one_line_diagram_shows_the_sizes_of_the_design(job: str) -> None:
    estimate = ESTIMATES[job]
    words = words_of(pictures.one_line_picture(estimate))

    for run in estimate.design.runs:
        raceway = f"{run.trade_size} {run.wiring_method}" if run.trade_size else run.wiring_method
        length = f"{run.length_ft.normalize():f}"
        assert f"Run {run.index + 1}: {length} ft {raceway}" in words
        for conductor in run.conductors:
            assert conductor.size in words
    for circuit in estimate.design.circuits:
        assert circuit.name in words
        assert f"{circuit.poles}-pole {circuit.breaker_a} A, {circuit.leg}" in words
    assert estimate.design.cord.conductor_size in words
    assert estimate.job.inlet.configuration in words


def test_conductors_are_counted_by_their_part() -> None:
    words = words_of(pictures.one_line_picture(ESTIMATES["six_circuit_block"]))

    # Six circuits: two 20 A ones and four of 15 A, each led to the switch and back.
    assert "4 x 12 AWG, 8 x 14 AWG, neutral 10 AWG, ground 10 AWG" in words
    assert "2 x 10 AWG, neutral 10 AWG, ground 10 AWG" in words


def test_the_schedule_names_each_position_once() -> None:
    words = words_of(pictures.panel_schedule_picture(ESTIMATES["four_facts"]))

    # A two-pole circuit takes two positions; one position of six stays free.
    assert words.count("Well pump") == 2
    assert words.count("free") == 1


def test_bars_are_to_scale() -> None:
    estimate = ESTIMATES["six_circuit_block"]
    root = etree.fromstring(pictures.leg_load_picture(estimate).encode())
    widths = [float(bar.get("width") or 0) for bar in root.iter(f"{SVG}rect")]
    loads = [load.running_w for _, load in estimate.design.load_study.legs]

    assert widths[0] / widths[1] == pytest.approx(float(loads[0] / loads[1]), rel=0.01)


def test_a_leg_over_its_limit_is_told_in_words() -> None:
    estimate = ESTIMATES["six_circuit_block"]
    supply = replace(estimate.job.supply, leg_limit_w=Decimal(1000))
    over = replace(estimate, job=replace(estimate.job, supply=supply))

    words = words_of(pictures.leg_load_picture(over))

    assert re.search(r"1,100 W, 9.17 A, over the\s+limit", words)
    assert "950 W, 7.92 A" in words
    assert "limit 1,000 W" in words


@pytest.mark.parametrize("picture", DRAW)
def test_names_of_users_stay_words(picture: str) -> None:
    estimate = ESTIMATES["interlock_30a"]
    circuits = tuple(replace(one, name=HOSTILE) for one in estimate.design.circuits)
    hostile = replace(
        estimate,
        design=replace(estimate.design, circuits=circuits),
        job=replace(estimate.job, name=HOSTILE),
    )

    root = etree.fromstring(DRAW[picture](hostile).encode())

    assert not list(root.iter(f"{SVG}script", "script"))
    longest = max(len("".join(text.itertext())) for text in root.iter(f"{SVG}text"))
    assert longest < 130


def test_long_words_are_broken() -> None:
    assert all(len(line) <= 20 for line in lines_of("W" * 95, 20))
    assert lines_of("", 20) == ("",)
