"""Whatever comes from outside: a clear refusal from the front door, never anything else."""

import json
import time
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from job_documents import FOUR_FACTS, four_facts

from estimator.finding import InputRefused
from estimator.job.describe import describe_job
from estimator.job.read import read_job_document
from estimator.job.schema import JobSchema

TODAY = date(2026, 3, 2)


def refused(data: bytes, name: str = "job.json") -> dict[str, str]:
    with pytest.raises(InputRefused) as caught:
        describe_job(read_job_document(data, name), TODAY)
    assert caught.value.faults
    return {fault.where: fault.message for fault in caught.value.faults}


def changed(**fields: object) -> bytes:
    return json.dumps(four_facts() | fields).encode()


def test_not_json_or_yaml() -> None:
    assert "is not JSON" in refused(b"<job/>")[""]
    assert "is not YAML" in refused(b"a: b: c", "job.yaml")[""]
    assert "give an object" in refused(b"just words", "job.yaml")[""]


def test_wrong_types() -> None:
    faults = refused(changed(circuits={"name": "A"}, mounting_surface=[], run_length_ft=None))

    assert list(faults) == ["/circuits", "/mounting_surface", "/run_length_ft"]


def test_ten_thousand_circuits() -> None:
    started = time.perf_counter()

    faults = refused(changed(circuits=[{"name": "A", "breaker_a": 20}] * 10_000))

    assert faults == {"/circuits": "10000 circuits were given; give 1 to 400"}
    assert time.perf_counter() - started < 5


def test_negative_lengths() -> None:
    runs = [{"from": "inlet", "to": "transfer", "length_ft": -3}]

    faults = refused(changed(run_length_ft=-18, cord_length_ft=-1, runs=runs))

    assert set(faults) == {"/run_length_ft", "/cord_length_ft", "/runs/0/length_ft"}
    assert "use more than 0 and at most 2000 ft" in faults["/run_length_ft"]


def test_unknown_inlet() -> None:
    assert "did you mean L14-30" in refused(changed(inlet="L14-3O"))["/inlet"]


@pytest.mark.parametrize("word", ["NaN", "Infinity", "-Infinity"])
def test_nan(word: str) -> None:
    number = b'"run_length_ft": 0'
    data = changed(run_length_ft=0).replace(number, number[:-1] + word.encode())

    assert f"read {word}, which is not a number" in refused(data)["/run_length_ft"]


def test_a_body_of_fifty_megabytes() -> None:
    assert "has 50000000 bytes" in refused(b" " * 50_000_000)[""]


NAMES = st.one_of(st.sampled_from([*JobSchema().fields, "name", "from", "breaker_a"]), st.text())
SCALARS = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(),
    st.floats(),
    st.decimals(),
    st.text(),
    st.dates(),
    st.binary(max_size=5),
    st.sampled_from(["L14-30", "brick", "inlet", "transfer", "2025-10-01", "20", 20, 15, 2]),
)
GARBAGE = st.recursive(
    SCALARS,
    lambda inner: st.one_of(
        st.lists(inner, max_size=4),
        st.dictionaries(NAMES, inner, max_size=5),
        st.dictionaries(st.integers() | st.none() | st.booleans(), inner, max_size=2),
        st.tuples(inner),
    ),
    max_leaves=25,
)
PARTS = st.fixed_dictionaries({}, optional=dict.fromkeys(JobSchema().fields, GARBAGE))


def outcome(document: object) -> None:
    """Accepted, or refused with pointers that can be printed."""
    try:
        describe_job(document, TODAY)
    except InputRefused as refusal:
        assert refusal.faults
        for fault in refusal.faults:
            assert fault.where == "" or fault.where.startswith("/")
            assert fault.message
            (fault.where + fault.message).encode("utf-8")
            assert len(fault.message) < 1000


@settings(deadline=None, max_examples=300, suppress_health_check=[HealthCheck.too_slow])
@given(GARBAGE)
def test_garbage_is_refused_and_nothing_else_is_raised(document: object) -> None:
    outcome(document)


@settings(deadline=None, max_examples=300, suppress_health_check=[HealthCheck.too_slow])
@given(PARTS)
def test_garbage_in_any_field_is_refused_and_nothing_else_is_raised(
    part: dict[str, object],
) -> None:
    outcome(FOUR_FACTS | part)


@settings(deadline=None, max_examples=200, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.lists(
        st.fixed_dictionaries(
            {},
            optional={
                "name": st.sampled_from(["A", "B", "C", 5]),
                "breaker_a": st.sampled_from([15, 20, 21, None]),
                "poles": st.sampled_from([1, 2, 3]),
                "running_w": st.sampled_from([0, 100, 4000, "x"]),
                "starting_w": st.sampled_from([0, 100, 4000, Decimal("NaN")]),
                "shared_neutral_with": st.sampled_from(["A", "B", "C", None, 3]),
            },
        ),
        max_size=4,
    )
)
def test_nearly_sound_circuits_are_accepted_or_refused(circuits: list[dict[str, object]]) -> None:
    outcome(FOUR_FACTS | {"circuits": circuits})


@settings(deadline=None, max_examples=200, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.lists(
        st.fixed_dictionaries(
            {
                "from": st.sampled_from(["inlet", "transfer", "load_centre"]),
                "to": st.sampled_from(["inlet", "transfer", "load_centre"]),
                "length_ft": st.sampled_from([9, 18, 0]),
            },
            optional={
                "place": st.sampled_from(["indoor", "underground", "outdoor"]),
                "depth_in": st.sampled_from([None, 18]),
            },
        ),
        max_size=4,
    ),
    st.sampled_from(["manual_switch", "interlock", "subpanel", "automatic_switch"]),
)
def test_nearly_sound_runs_are_accepted_or_refused(
    runs: list[dict[str, object]], method: str
) -> None:
    outcome(FOUR_FACTS | {"runs": runs, "transfer": {"method": method}})


@settings(deadline=None, max_examples=300)
@given(st.binary(max_size=200), st.sampled_from(["job.json", "job.yaml", "-"]))
def test_any_bytes_are_read_or_refused(data: bytes, name: str) -> None:
    try:
        read_job_document(data, name)
    except InputRefused as refusal:
        assert refusal.faults


@settings(deadline=None, max_examples=300)
@given(st.text(alphabet="ab:-[]{}&*!|>'\"#?,\n 0.~%", max_size=60))
def test_any_yaml_like_text_is_read_or_refused(text: str) -> None:
    try:
        read_job_document(text.encode(), "job.yaml")
    except InputRefused as refusal:
        assert refusal.faults
