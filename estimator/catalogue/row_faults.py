"""Faults of a row by column, gathered so that all of them can be told at once."""

from collections.abc import Iterator
from contextlib import contextmanager

from estimator.catalogue.header import Column
from estimator.finding import Fault

ColumnFault = tuple[Column, str]


class RowFaults(Exception):
    """Some cells of a row cannot stand. faults: column and message of each, at least one."""

    def __init__(self, faults: tuple[ColumnFault, ...]) -> None:
        super().__init__("; ".join(message for _, message in faults))
        self.faults = faults

    @classmethod
    def of(cls, column: Column, message: str) -> "RowFaults":
        """One fault."""
        return cls(((column, message),))

    @classmethod
    @contextmanager
    def within(cls, column: Column) -> Iterator[None]:
        """Turn a ValueError about a cell into the fault of its column."""
        try:
            yield
        except ValueError as error:
            raise cls.of(column, str(error)) from None


def located(row: int, fault: ColumnFault) -> Fault:
    """A fault with its place in the list."""
    return Fault(f"row {row}, column {fault[0]}", fault[1])
