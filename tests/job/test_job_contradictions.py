"""Facts that could each stand alone but not together."""

from typing import Any

import pytest
from job_documents import faults_of, four_facts, with_value

ONE = {"name": "Left", "breaker_a": 20}
TWO = {"name": "Right", "breaker_a": 20}
FIRST = {"from": "inlet", "to": "transfer", "length_ft": 18}
SECOND = {"from": "transfer", "to": "load_centre", "length_ft": 2}


def with_circuits(*circuits: dict[str, Any]) -> dict[str, Any]:
    return four_facts() | {"circuits": list(circuits)}


def with_runs(*runs: dict[str, Any], **fields: object) -> dict[str, Any]:
    return four_facts() | {"runs": list(runs)} | fields


class TestCircuits:
    def test_two_of_one_name(self) -> None:
        faults = faults_of(with_circuits(ONE, TWO, ONE))

        assert faults == {
            "/circuits/2/name": [
                "'Left' is the name of circuit 1 already; give each circuit a name of its own"
            ]
        }

    def test_starting_less_than_running(self) -> None:
        at = ONE | {"running_w": 500, "starting_w": 500}
        under = ONE | {"running_w": 500, "starting_w": 499}

        assert faults_of(with_circuits(at)) == {}
        assert list(faults_of(with_circuits(under))) == ["/circuits/0/starting_w"]

    @pytest.mark.parametrize(("poles", "most_w"), [(1, 2400), (2, 4800)])
    def test_more_power_than_the_breaker_carries(self, poles: int, most_w: int) -> None:
        at = ONE | {"poles": poles, "running_w": most_w}
        over = ONE | {"poles": poles, "running_w": most_w + 1}

        (message,) = faults_of(with_circuits(over))["/circuits/0/running_w"]

        assert faults_of(with_circuits(at)) == {}
        assert f"which carries {most_w} W" in message


class TestSharedNeutral:
    def test_one_way_is_enough(self) -> None:
        assert faults_of(with_circuits(ONE | {"shared_neutral_with": "Right"}, TWO)) == {}

    def test_both_ways_are_the_same_pair(self) -> None:
        pair = (ONE | {"shared_neutral_with": "Right"}, TWO | {"shared_neutral_with": "Left"})

        assert faults_of(with_circuits(*pair)) == {}

    def test_with_an_unknown_circuit(self) -> None:
        faults = faults_of(with_circuits(ONE | {"shared_neutral_with": "Rigth"}, TWO))

        assert faults == {
            "/circuits/0/shared_neutral_with": ["no circuit is called 'Rigth'; did you mean Right?"]
        }

    def test_with_itself(self) -> None:
        faults = faults_of(with_circuits(ONE | {"shared_neutral_with": "Left"}))

        assert "is the circuit itself" in faults["/circuits/0/shared_neutral_with"][0]

    @pytest.mark.parametrize("two_pole", [0, 1])
    def test_with_a_two_pole_circuit(self, two_pole: int) -> None:
        circuits = [ONE | {"shared_neutral_with": "Right"}, dict(TWO)]
        circuits[two_pole]["poles"] = 2

        (message,) = faults_of(with_circuits(*circuits))["/circuits/0/shared_neutral_with"]

        assert f"'{circuits[two_pole]['name']}' is a two-pole circuit" in message

    def test_among_three(self) -> None:
        third = {"name": "Third", "breaker_a": 20, "shared_neutral_with": "Left"}

        faults = faults_of(with_circuits(ONE | {"shared_neutral_with": "Right"}, TWO, third))

        assert list(faults) == ["/circuits/2/shared_neutral_with"]

    def test_an_unreadable_name_is_not_called_unknown(self) -> None:
        unreadable = {"name": 5, "breaker_a": 20}

        faults = faults_of(with_circuits(ONE | {"shared_neutral_with": "Right"}, unreadable))

        assert list(faults) == ["/circuits/1/name"]


class TestSupplyAndTerms:
    @pytest.mark.parametrize(
        ("smaller", "larger"),
        [
            ("continuous_w", "surge_w"),
            ("leg_limit_w", "continuous_w"),
            ("usable_kwh", "nameplate_kwh"),
        ],
    )
    def test_a_part_larger_than_the_whole(self, smaller: str, larger: str) -> None:
        at = with_value("/supply", {smaller: 50, larger: 50})
        over = with_value("/supply", {smaller: "50.1", larger: 50})

        assert faults_of(at) == {}
        assert list(faults_of(over)) == [f"/supply/{smaller}"]

    def test_markup_beside_margin(self) -> None:
        both = with_value("/terms", {"markup_percent": 10, "margin_percent": 10})
        one = with_value("/terms", {"markup_percent": 10, "margin_percent": None})

        assert faults_of(one) == {}
        assert "give one of them" in faults_of(both)["/terms/margin_percent"][0]

    def test_load_management_without_an_automatic_switch(self) -> None:
        managed = {"load_management": True}

        assert list(faults_of(with_value("/transfer", managed))) == ["/transfer/load_management"]
        automatic = managed | {"method": "automatic_switch"}
        assert faults_of(with_value("/transfer", automatic)) == {}


class TestRuns:
    def test_in_order(self) -> None:
        assert faults_of(with_runs(FIRST, SECOND)) == {}

    def test_the_whip_may_be_left_out(self) -> None:
        assert faults_of(with_runs(FIRST)) == {}

    def test_a_way_may_be_in_stretches(self) -> None:
        stretches = [FIRST | {"length_ft": 8}, FIRST | {"length_ft": 10}]

        assert faults_of(with_runs(*stretches, SECOND)) == {}

    @pytest.mark.parametrize(
        ("runs", "where"),
        [
            ((SECOND,), "/runs/0/from"),
            ((SECOND, FIRST), "/runs/0/from"),
            ((FIRST, SECOND, FIRST | {"length_ft": 1}), "/runs/2/from"),
            (({"from": "inlet", "to": "load_centre", "length_ft": 18},), "/runs/0"),
            (({"from": "inlet", "to": "inlet", "length_ft": 18},), "/runs/0"),
            (({"from": "transfer", "to": "inlet", "length_ft": 18},), "/runs/0"),
        ],
    )
    def test_out_of_order_or_apart(self, runs: tuple[dict[str, Any], ...], where: str) -> None:
        faults = faults_of(with_runs(*runs))

        assert where in faults
        assert "inlet" in faults[where][0]

    def test_an_interlock_has_no_transfer_cabinet_on_the_way(self) -> None:
        straight = {"from": "inlet", "to": "load_centre", "length_ft": 18}
        interlock = {"transfer": {"method": "interlock"}}

        assert faults_of(with_runs(straight, **interlock)) == {}
        assert "/runs/0" in faults_of(with_runs(FIRST, SECOND, **interlock))

    def test_other_lengths_than_run_length(self) -> None:
        faults = faults_of(with_runs(FIRST | {"length_ft": "18.5"}, SECOND))

        assert list(faults) == ["/run_length_ft"]
        assert "18 ft differs from the runs from inlet to transfer" in faults["/run_length_ft"][0]

    def test_depth_of_a_run_that_is_not_buried(self) -> None:
        buried = FIRST | {"depth_in": 18, "place": "underground"}

        assert faults_of(with_runs(buried)) == {}
        assert list(faults_of(with_runs(FIRST | {"depth_in": 18}))) == ["/runs/0/depth_in"]
        assert faults_of(with_runs(FIRST | {"depth_in": None})) == {}
