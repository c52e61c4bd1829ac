"""Fields of the job in words: labels, sentences, order."""

import re

import pytest

from estimator.job.field_words import (
    field_order,
    field_shape,
    field_title,
    fields_named,
    spoken,
    value_words,
)
from estimator.job.schema import job_schema


def every_pointer() -> list[str]:
    found = []

    def walk(schema: object, under: str) -> None:
        for name, one in schema.fields.items():  # type: ignore[attr-defined]
            pointer = f"{under}/{one.data_key or name}"
            inner = getattr(one, "schema", None)
            if inner is not None and field_shape(pointer) is None:
                walk(inner, pointer)
            else:
                found.append(pointer)

    walk(job_schema(), "")
    return found


def test_every_field_is_called_by_words_that_are_no_name_of_a_field() -> None:
    pointers = every_pointer()
    assert len(pointers) > 100

    bare = [
        pointer
        for pointer in pointers
        if (shape := field_shape(pointer)) is None
        or re.search(r"[a-z]_[a-z]", shape.label)
        or not shape.label.strip()
    ]

    assert bare == []


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("Give supply.continuous_w from the label.", "Give “continuous rating” from the label."),
        (
            "Set transfer.factory_whip to false.",
            "Set “comes with a whip (conduit and conductors attached)” to no.",
        ),
        ("Use a manual_switch.", "Use a manual switch."),
        ("Correct bends_deg.", "Correct “total of its bends, or each in order”."),
        ("See corner_list_of_wiring_method.csv.", "See corner_list_of_wiring_method.csv."),
        ("The circuit my_pump stays as it is.", "The circuit my_pump stays as it is."),
        ("No field here.", "No field here."),
    ],
)
def test_a_sentence_calls_fields_by_their_words(written: str, said: str) -> None:
    assert spoken(written) == said


@pytest.mark.parametrize(
    ("pointer", "title"),
    [
        ("/labour/hourly_rate", "labour: charged for one hour of work"),
        ("/circuits/1/conductor_size", "circuit 2: wire in the wall today"),
        ("/credit_claim/panel_upgrade/amps", "tax credit panel work: new rating of the panel"),
        ("/name", "name of the job"),
        ("/runs/0", "run 1"),
    ],
)
def test_a_pointer_has_a_title(pointer: str, title: str) -> None:
    assert field_title(pointer) == title


def test_fields_that_a_remedy_names_are_found_at_their_place() -> None:
    named = fields_named("Give wiring_method, or supply.neutral.", "/runs/2/exposure")

    assert named == ("/runs/2/wiring_method", "/supply/neutral")


def test_pointers_are_sorted_as_the_job_description_has_its_fields() -> None:
    pointers = [
        "/comparison/own_hour_value", "/circuits/10/priority", "/circuits/2/priority",
        "/circuits/2/breaker_a", "/site/region", "/nothing/of/the/kind",
    ]  # fmt: skip

    assert sorted(pointers, key=field_order) == [
        "/circuits/2/breaker_a", "/circuits/2/priority", "/circuits/10/priority", "/site/region",
        "/comparison/own_hour_value", "/nothing/of/the/kind",
    ]  # fmt: skip


def test_values_are_words() -> None:
    said = [value_words(each) for each in ("true", "manual_switch", "cu", "EMT")]

    assert said == ["yes", "manual switch", "copper", "EMT"]
