"""Frozen records that are quick to make."""

from dataclasses import MISSING, fields
from typing import Any, TypeVar

Record = TypeVar("Record")


def quick(record: type[Record]) -> type[Record]:
    """The same frozen, slotted dataclass with an ``__init__`` that takes about half the time.

    For records that an estimate makes by the dozen. A frozen dataclass sets each field by
    object.__setattr__, which looks up its slot by name every time; here the setters of the
    slots are kept at hand. Arguments, defaults, equality, hash and immutability stay as they
    are. Raises TypeError for fields that are made by a factory, for keywords only, or left
    out of ``__init__``, and for a ``__post_init__``.
    """
    known: dict[str, Any] = {}
    arguments: list[str] = []
    steps: list[str] = []
    for field in fields(record):  # type: ignore[arg-type]
        if field.default_factory is not MISSING or field.kw_only or not field.init:
            raise TypeError(f"{record.__name__}.{field.name} is not a plain field")
        known[f"_set_{field.name}"] = getattr(record, field.name).__set__
        steps.append(f"    _set_{field.name}(self, {field.name})\n")
        if field.default is MISSING:
            arguments.append(field.name)
        else:
            known[f"_default_{field.name}"] = field.default
            arguments.append(f"{field.name}=_default_{field.name}")
    if hasattr(record, "__post_init__"):
        raise TypeError(f"{record.__name__} has a __post_init__, which would not be called")
    # Source text made into a function, as dataclasses does it: no loop is as quick.
    exec(f"def __init__(self, {', '.join(arguments)}):\n{''.join(steps)}", known)
    init = known["__init__"]
    init.__qualname__ = f"{record.__qualname__}.__init__"
    init.__annotations__ = record.__init__.__annotations__
    record.__init__ = init  # type: ignore[method-assign]
    return record
