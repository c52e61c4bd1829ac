"""A record that is quick to make is in all else the frozen dataclass that it was."""

import pickle
from dataclasses import FrozenInstanceError, dataclass, field, replace
from decimal import Decimal
from inspect import signature

import pytest

from estimator.basis import because
from estimator.record import quick


@dataclass(frozen=True, slots=True)
class Plain:
    name: str
    amount: Decimal
    note: str = "none"


@quick
@dataclass(frozen=True, slots=True)
class Quick:
    name: str
    amount: Decimal
    note: str = "none"


def test_takes_the_same_arguments_by_place_and_by_name() -> None:
    made = Quick("a", amount=Decimal(1))

    assert (made.name, made.amount, made.note) == ("a", Decimal(1), "none")
    assert list(signature(Quick).parameters) == list(signature(Plain).parameters)


@pytest.mark.parametrize("arguments", [(), ("a",), ("a", Decimal(1), "note", "more")])
def test_refuses_too_few_and_too_many_arguments(arguments: tuple[object, ...]) -> None:
    with pytest.raises(TypeError):
        Quick(*arguments)  # type: ignore[arg-type]


def test_cannot_be_changed() -> None:
    made = Quick("a", Decimal(1))

    with pytest.raises(FrozenInstanceError):
        made.name = "b"  # type: ignore[misc]


def test_is_equal_and_hashed_by_its_fields() -> None:
    assert Quick("a", Decimal("2.50")) == Quick("a", Decimal("2.5"))
    assert Quick("a", Decimal(1)) != Quick("b", Decimal(1))
    assert hash(Quick("a", Decimal(1))) == hash(Quick("a", Decimal(1)))


def test_can_be_copied_with_a_change_and_stored() -> None:
    made = Quick("a", Decimal(1))

    assert replace(made, note="new") == Quick("a", Decimal(1), "new")
    assert pickle.loads(pickle.dumps(made)) == made


def test_fields_that_it_would_not_fill_are_refused() -> None:
    @dataclass(frozen=True, slots=True)
    class Factory:
        names: list[str] = field(default_factory=list)

    @dataclass(frozen=True, slots=True)
    class After:
        name: str

        def __post_init__(self) -> None:
            """Would not be called."""

    with pytest.raises(TypeError, match=r"Factory\.names"):
        quick(Factory)
    with pytest.raises(TypeError, match="After"):
        quick(After)


def test_figures_of_a_reason_are_exact_text() -> None:
    reason = because(
        "Text.", "own_convention", length_ft=Decimal("2.50"), many=Decimal("1E+2"), n=3, size="x.0"
    )

    assert reason.figures == (("length_ft", "2.5"), ("many", "100"), ("n", "3"), ("size", "x.0"))


@pytest.mark.parametrize(
    ("amount", "text"),
    [("0", "0"), ("0.00", "0"), ("10", "10"), ("10.0", "10"), ("100.50", "100.5"), ("1E+2", "100"),
     ("1E-9", "0.000000001"), ("0E-7", "0"), ("-2.30", "-2.3"), ("1E+10", "10000000000")],
)  # fmt: skip
def test_a_figure_is_shown_without_exponent_or_last_zeros(amount: str, text: str) -> None:
    reason = because("Text.", "own_convention", amount=Decimal(amount))

    assert reason.figures == (("amount", text),)
