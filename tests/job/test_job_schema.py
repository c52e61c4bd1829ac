"""Each field on its own: what stands, what does not, and what the user is told."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from job_documents import faults_of, four_facts, with_value

from estimator.finding import InputRefused
from estimator.job.schema import check_job

RUN = {"from": "inlet", "to": "transfer", "length_ft": 18}


def test_the_four_facts_are_enough() -> None:
    told = check_job(four_facts())

    assert set(told) == {"circuits", "mounting_surface", "run_length_ft", "inlet"}
    assert told["run_length_ft"] == Decimal(18)
    assert told["circuits"][0]["starting_w"] == Decimal(1200)
    assert "poles" not in told["circuits"][0]


@pytest.mark.parametrize("fact", ["circuits", "mounting_surface", "run_length_ft", "inlet"])
def test_each_of_the_four_facts_is_needed(fact: str) -> None:
    document = four_facts()
    del document[fact]

    faults = faults_of(document)

    assert list(faults) == [f"/{fact}"]
    assert faults[f"/{fact}"][0].startswith("is missing and needed: ")


def test_the_inlet_may_be_short_or_long() -> None:
    short = check_job(four_facts())
    long = check_job(with_value("/inlet", {"configuration": "L14-30"}))

    assert short["inlet"] == long["inlet"] == {"configuration": "L14-30"}


# Limits: pointer, values that stand, values that do not.
LIMITS: list[tuple[str, list[Any], list[Any]]] = [
    ("/run_length_ft", ["0.0001", 2000], [0, -5, "2000.01"]),
    ("/cord_length_ft", [1, 2000], [0, 2001]),
    ("/transfer/whip_length_ft", ["0.5", 2000], [0, 2001]),
    ("/site/indoor_ambient_c", [-50, 80], ["-50.1", "80.1"]),
    ("/site/outdoor_ambient_c", [-50, 80], [-51, 81]),
    ("/circuits/0/breaker_a", [15, 20, 25, 30, 35, 40, 45, 50, 60], [10, 16, 70, 0, -15]),
    ("/circuits/0/poles", [1, 2], [0, 3]),
    ("/circuits/0/hours_per_day", [0, 24], [-1, "24.1"]),
    ("/circuits/0/priority", [1, 99], [0, 100]),
    ("/supply/continuous_w", [1, 100000], [0, 100001]),
    ("/supply/efficiency", ["0.01", 1], [0, "1.01"]),
    ("/supply/cycle_life", [1, 1000000], [0, 1000001]),
    ("/supply/usable_kwh", ["0.1", 10000], [0, 10001]),
    ("/transfer/spaces", [1, 84], [0, 85]),
    ("/transfer/rating_a", [15, 400], [14, 401]),
    ("/transfer/terminal_temp_c", [60, 75], [90]),
    ("/load_centre/free_spaces", [0, 84], [-1, 85]),
    ("/load_centre/gutter_in", ["0.5", 24], [0, 25]),
    ("/voltage_drop_target_percent", ["0.1", 10], [0, "10.1"]),
    ("/labour/crew", [1, 20], [0, 21]),
    ("/labour/burden_percent", [0, 500], [-1, 501]),
    ("/terms/markup_percent", [0, 1000], [-1, 1001]),
    ("/terms/margin_percent", [0, "99.99"], [-1, 100]),
    ("/terms/sales_tax_percent", [0, 50], [-1, 51]),
    ("/terms/valid_days", [1, 730], [0, 731]),
    ("/terms/quoted_on", ["2000-01-01", "2100-12-31"], ["1999-12-31", "2101-01-01"]),
    ("/credit_claim/nonbusiness_share", [0, 1], ["-0.1", "1.01"]),
    ("/comparison/own_speed_factor", ["0.5", 20], [0, 21]),
    ("/comparison/loan/annual_rate_percent", [0, 100], [-1, "100.1"]),
    ("/comparison/loan/months", [1, 480], [0, 481]),
    ("/comparison/outage_hours_per_year", ["0.1", 8784], [0, 8785]),
    ("/comparison/years_of_use", [1, 50], [0, 51]),
]


@pytest.mark.parametrize(
    ("pointer", "value"), [(where, value) for where, good, _ in LIMITS for value in good]
)
def test_at_a_limit_stands(pointer: str, value: object) -> None:
    document = with_value(pointer, value)
    del document["circuits"][0]["running_w"], document["circuits"][0]["starting_w"]

    assert faults_of(document) == {}


@pytest.mark.parametrize(
    ("pointer", "value"), [(where, value) for where, _, bad in LIMITS for value in bad]
)
def test_beyond_a_limit_is_one_fault(pointer: str, value: object) -> None:
    faults = faults_of(with_value(pointer, value))

    assert list(faults) == [pointer]
    assert len(faults[pointer]) == 1
    assert "use " in faults[pointer][0]


# Wrong kinds: pointer, value, words of the message.
WRONG_KINDS: list[tuple[str, object, str]] = [
    ("/run_length_ft", "18 ft", "read '18 ft'; give a number"),
    ("/run_length_ft", "1,800", "read '1,800'; give a number"),
    ("/run_length_ft", "1e3", "read '1e3'; give a number"),
    ("/run_length_ft", "", "read empty text; give a number"),
    ("/run_length_ft", True, "read true; give a number"),
    ("/run_length_ft", None, "null cannot stand here"),
    ("/run_length_ft", [18], "read a list of 1; give a number"),
    ("/run_length_ft", {}, "read an empty object; give a number"),
    ("/run_length_ft", "18.00001", "has more than 4 decimal places"),
    ("/terms/permit_fee", "$85", "read '$85'; give a number"),
    ("/terms/permit_fee", "85.001", "has more than 2 decimal places"),
    ("/circuits/0/breaker_a", "20", "read '20'; give a whole number without quotes"),
    ("/circuits/0/breaker_a", True, "read true; give a whole number"),
    ("/labour/crew", Decimal("1.5"), "read 1.5; give a whole number"),
    ("/circuits/0/continuous", "yes", "read 'yes'; give true or false without quotes"),
    ("/circuits/0/continuous", 1, "read 1; give true or false"),
    ("/circuits/0/name", 5, "read 5; give text in quotes"),
    ("/mounting_surface", 5, "read 5; give one of the words"),
    ("/site", "US", "read 'US'; give an object with region, code_edition"),
    ("/runs", {}, "read an empty object; give a list of objects"),
    ("/runs", [5], "read 5; give an object with from, to, length_ft"),
    ("/labour/factors", "occupied_house", "read 'occupied_house'; give a list"),
    ("/inlet", 30, "read 30; give a configuration such as 'L14-30'"),
    ("/terms/quoted_on", "01/10/2025", "give a date as YYYY-MM-DD"),
    ("/terms/quoted_on", "2025-02-30", "is not a day of the calendar"),
    ("/terms/quoted_on", "20250201", "give a date as YYYY-MM-DD"),
    ("/terms/currency", "usd", "ISO 4217 code of three capitals"),
    ("/terms/taxable", ["labour", "labour"], "'labour' stands twice"),
]


@pytest.mark.parametrize(("pointer", "value", "words"), WRONG_KINDS)
def test_a_wrong_kind_of_value_is_named(pointer: str, value: object, words: str) -> None:
    faults = faults_of(with_value(pointer, value))

    (where,) = faults
    assert where in (pointer, f"{pointer}/0")
    assert words in faults[where][0]


NOT_FINITE = ["NaN", "sNaN", "Infinity", "-Infinity"]


@pytest.mark.parametrize("value", [*map(Decimal, NOT_FINITE), float("nan"), float("inf")])
@pytest.mark.parametrize("pointer", ["/run_length_ft", "/labour/crew", "/circuits/0/breaker_a"])
def test_what_is_not_a_number_is_refused(pointer: str, value: object) -> None:
    faults = faults_of(with_value(pointer, value))

    assert list(faults) == [pointer]


@pytest.mark.parametrize(
    "value",
    [
        Decimal("1e999999"),
        Decimal("1e-999999"),
        Decimal("0e999999"),
        Decimal("9" * 5000),
        Decimal("0." + "1" * 5000),
        10**400,
        10**12,
        "9" * 13,
    ],
)
@pytest.mark.parametrize("pointer", ["/run_length_ft", "/labour/crew", "/supply/price"])
def test_monstrous_numbers_are_refused_in_a_short_message(pointer: str, value: object) -> None:
    faults = faults_of(with_value(pointer, value))

    assert list(faults) == [pointer]
    assert len(faults[pointer][0]) < 250


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ("95.00", "95.00"),
        (95, "95"),
        (Decimal("95.0"), "95.0"),
        (Decimal("1E+2"), "100"),
        (Decimal("2.5000000"), "2.5"),
        (95.5, "95.5"),
        ("-0", "0"),
        (Decimal("0.00"), "0.00"),
    ],
)
def test_money_arrives_exact_from_text_and_number(value: object, text: str) -> None:
    told = check_job(with_value("/terms/permit_fee", value))

    assert str(told["terms"]["permit_fee"]) == text


@pytest.mark.parametrize("value", [3, Decimal("3.0"), 3.0])
def test_a_whole_number_may_be_written_with_a_point(value: object) -> None:
    told = check_job(with_value("/labour/crew", value))

    assert type(told["labour"]["crew"]) is int


@pytest.mark.parametrize("value", ["2023", 2023])
def test_the_edition_may_be_text_or_number(value: object) -> None:
    assert check_job(with_value("/site/code_edition", value))["site"]["code_edition"] == "2023"


@pytest.mark.parametrize("value", ["120", 120])
def test_the_system_may_be_text_or_number(value: object) -> None:
    assert check_job(with_value("/supply/system", value))["supply"]["system"] == "120"


def test_a_date_may_come_as_a_date() -> None:
    told = check_job(with_value("/terms/quoted_on", date(2025, 10, 1)))

    assert told["terms"]["quoted_on"] == date(2025, 10, 1)


@pytest.mark.parametrize(
    ("value", "bends"),
    [
        (180, (Decimal(180),)),
        ([90, "45"], (Decimal(90), Decimal(45))),
        (0, ()),
        ([], ()),
    ],
)
def test_bends_are_a_total_or_a_list(value: object, bends: tuple[Decimal, ...]) -> None:
    told = check_job(with_value("/runs", [RUN | {"bends_deg": value}]))

    assert told["runs"][0]["bends_deg"] == bends


def test_a_bend_that_cannot_be_is_named_by_its_place() -> None:
    faults = faults_of(with_value("/runs", [RUN | {"bends_deg": [90, -3, 361]}]))

    assert list(faults) == ["/runs/0/bends_deg/1", "/runs/0/bends_deg/2"]


class TestText:
    def test_at_200_characters_stands(self) -> None:
        assert faults_of(with_value("/name", "x" * 200)) == {}

    @pytest.mark.parametrize("value", ["x" * 201, "", "   "])
    def test_too_long_or_empty_is_refused(self, value: str) -> None:
        faults = faults_of(with_value("/name", value))

        assert "give 1 to 200" in faults["/name"][0]

    @pytest.mark.parametrize(
        "value", ["a\nb", "a\x00b", "a\x7fb", "a\u202eb", "a\u2028b", "a\ud800b"]
    )
    def test_control_characters_are_refused(self, value: str) -> None:
        faults = faults_of(with_value("/name", value))

        assert "contains the control character U+" in faults["/name"][0]
        faults["/name"][0].encode("utf-8")

    @pytest.mark.parametrize("value", ["Café Ñandú", "井戸ポンプ", "a\u00a0b", "👩\u200d🔧"])
    def test_any_language_stands(self, value: str) -> None:
        assert check_job(with_value("/name", value))["name"] == value

    def test_blanks_around_a_name_are_taken_off(self) -> None:
        assert check_job(with_value("/name", "  Shed "))["name"] == "Shed"


class TestUnknownFields:
    def test_the_nearest_field_is_offered(self) -> None:
        faults = faults_of(with_value("/run_length_m", 5))

        assert faults == {
            "/run_length_m": [
                "'run_length_m' is not a field that is known here; did you mean "
                "run_length_ft or cord_length_ft?"
            ]
        }

    def test_known_fields_are_listed_when_nothing_is_near(self) -> None:
        faults = faults_of(with_value("/site/qqq", 5))

        assert "known are region, code_edition" in faults["/site/qqq"][0]

    def test_names_are_escaped_in_the_pointer(self) -> None:
        faults = faults_of(with_value("/site", {"a/b": 1, "c~d": 1, "e\nf": 1, "x" * 500: 1}))

        assert sorted(faults)[:3] == ["/site/a~1b", "/site/c~0d", "/site/e\\nf"]
        assert all(len(where) < 80 for where in faults)

    @pytest.mark.parametrize("name", ["_schema", "", "0"])
    def test_no_name_is_special(self, name: str) -> None:
        document = four_facts()
        document["circuits"][0][name] = 1

        assert list(faults_of(document)) == [f"/circuits/0/{name}"]

    def test_names_that_are_not_text_are_refused(self) -> None:
        document: dict[Any, Any] = four_facts()
        document[5] = 1
        document[None] = 2

        assert set(faults_of(document)) == {"/5", "/None"}

    def test_hundreds_of_unknown_fields_are_counted(self) -> None:
        document = four_facts() | {f"field_{number}": 1 for number in range(5000)}

        faults = faults_of(document)

        assert len(faults) == 21
        assert faults[""] == ["4980 further fields are not known here; take them out"]


class TestLists:
    def test_ten_thousand_circuits_are_one_fault(self) -> None:
        document = four_facts() | {"circuits": [{"nonsense": 1}] * 10_000}

        faults = faults_of(document)

        assert faults == {"/circuits": ["10000 circuits were given; give 1 to 400"]}

    def test_400_circuits_stand(self) -> None:
        circuits = [{"name": f"Circuit {number}", "breaker_a": 15} for number in range(400)]

        assert faults_of(four_facts() | {"circuits": circuits}) == {}

    def test_401_circuits_are_too_many(self) -> None:
        circuits = [{"name": f"Circuit {number}", "breaker_a": 15} for number in range(401)]

        assert list(faults_of(four_facts() | {"circuits": circuits})) == ["/circuits"]

    def test_no_circuits_are_too_few(self) -> None:
        faults = faults_of(four_facts() | {"circuits": []})

        assert faults == {"/circuits": ["0 circuits were given; give 1 to 400"]}

    @pytest.mark.parametrize(
        ("field", "item", "most"),
        [
            ("runs", RUN | {"length_ft": Decimal("0.1")}, 200),
            ("direct_loads", {"name": "a", "outlet": "5-15", "running_w": 1}, 200),
            ("stock", {"kind": "locknut", "quantity": 1, "unit": "ea"}, 500),
        ],
    )
    def test_other_lists_have_limits_too(self, field: str, item: dict[str, Any], most: int) -> None:
        document = four_facts() | {"run_length_ft": Decimal("0.1") * most}

        assert faults_of(document | {field: [item] * most}) == {}
        assert list(faults_of(document | {field: [item] * (most + 1)})) == [f"/{field}"]

    def test_a_thousand_faults_are_listed_and_the_others_counted(self) -> None:
        circuits = [{"name": f"c{number}", "breaker_a": 21, "poles": 3} for number in range(400)]
        bad_runs = [RUN | {"place": "x", "surface": "y"}] * 200

        with pytest.raises(InputRefused) as caught:
            check_job(four_facts() | {"circuits": circuits, "runs": bad_runs})

        assert len(caught.value.faults) == 1001
        assert "further faults are not listed" in caught.value.faults[-1].message


class TestInletConfigurations:
    def test_an_unknown_one_offers_the_nearest(self) -> None:
        (message,) = faults_of(with_value("/inlet", "L14-31"))["/inlet"]

        assert "'L14-31' is not known here; did you mean L14-30" in message

    @pytest.mark.parametrize(
        ("configuration", "reason", "offer"),
        [
            ("L6-30", "it has no neutral", "use L14-30"),
            ("6-50", "it has no neutral", "use 14-50"),
            ("10-30", "it has no equipment ground", "use 14-30"),
            ("CS8375", "three-phase look-alike", "use CS6375"),
            ("5-15", "single 15 A circuit", "use 14-30, 14-50"),
        ],
    )
    def test_one_that_cannot_be_an_inlet_is_refused_with_the_reason(
        self, configuration: str, reason: str, offer: str
    ) -> None:
        document = with_value("/inlet", {"configuration": configuration})

        (message,) = faults_of(document)["/inlet/configuration"]

        assert reason in message
        assert offer in message

    @pytest.mark.parametrize("outlet", ["5-15", "5-20", "L5-30", "6-50", "L14-30"])
    def test_outlets_may_be_any_configuration(self, outlet: str) -> None:
        assert faults_of(with_value("/supply/outlet", outlet)) == {}


class TestStock:
    ITEM = {"kind": "conductor", "quantity": 40, "unit": "ft"}

    def test_further_fields_are_attributes(self) -> None:
        document = with_value("/stock", [self.ITEM | {"size": "10 AWG", "length_in": 3}])

        assert check_job(document)["stock"][0]["size"] == "10 AWG"

    @pytest.mark.parametrize(
        ("name", "value"),
        [("Size", "x"), ("size", []), ("size", None), ("size", True), ("size", "x" * 81)],
    )
    def test_attributes_are_plain(self, name: str, value: object) -> None:
        document = with_value("/stock", [self.ITEM | {name: value}])

        assert list(faults_of(document)) == [f"/stock/0/{name}"]

    def test_attributes_are_few(self) -> None:
        attributes = {f"a{number}": "x" for number in range(13)}

        faults = faults_of(with_value("/stock", [self.ITEM | attributes]))

        assert faults == {"/stock/0": ["13 attributes were given; give 12 at most"]}


@pytest.mark.parametrize("document", [None, 5, "job", [], [four_facts()], True])
def test_a_document_that_is_no_object_is_one_fault(document: object) -> None:
    faults = faults_of(document)

    assert list(faults) == [""]
    assert "give an object with circuits, mounting_surface, run_length_ft, inlet" in faults[""][0]


def test_every_fault_is_told_at_once() -> None:
    document = four_facts() | {
        "circuits": [
            {"name": "A", "breaker_a": 21, "running_w": -1},
            {"name": "A", "breaker_a": 20, "shared_neutral_with": "B"},
        ],
        "mounting_surface": "tile",
        "run_length_ft": "NaN",
        "inlet": "L6-30",
        "suply": {},
        "terms": {"markup_percent": 10, "margin_percent": 10, "valid_days": 0},
    }

    faults = faults_of(document)

    assert set(faults) == {
        "/circuits/0/breaker_a",
        "/circuits/0/running_w",
        "/circuits/1/name",
        "/mounting_surface",
        "/run_length_ft",
        "/inlet",
        "/suply",
        "/terms/margin_percent",
        "/terms/valid_days",
    }
