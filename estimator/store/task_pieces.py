"""Tasks that are pieces of another one: how far they are together, and stopping them all."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from sqlalchemy import Select
from sqlalchemy.orm import Session

from estimator.store.scope import Scope
from estimator.store.tables.work import TaskRow
from estimator.store.tasks import cancel_task


@dataclass(frozen=True, slots=True)
class Pieces:
    """How many pieces are in which state. counts: sums of the numbers in their results."""

    waiting: int
    running: int
    done: int
    failed: int
    cancelled: int
    counts: Mapping[str, int]


def pieces_of(session: Session, scope: Scope, begins: str) -> Pieces:
    """The pieces whose names begin so."""
    found = session.execute(
        _pieces(scope, begins).with_only_columns(TaskRow.state, TaskRow.result)
    ).all()
    states = Counter(state for state, _ in found)
    counts: Counter[str] = Counter()
    for _, result in found:
        for name, value in (result or {}).items():
            counts[name] += len(value) if isinstance(value, list) else value
    return Pieces(
        states["waiting"], states["running"], states["done"], states["failed"],
        states["cancelled"], dict(counts),
    )  # fmt: skip


def cancel_pieces(session: Session, scope: Scope, begins: str) -> int:
    """Cancel the pieces that are not ended; how many there were."""
    rows = session.scalars(
        _pieces(scope, begins).where(TaskRow.state.in_(("waiting", "running"))).with_for_update()
    ).all()
    for row in rows:
        cancel_task(session, scope, row.id)
    return len(rows)


def _pieces(scope: Scope, begins: str) -> Select[TaskRow]:
    return scope.rows(TaskRow).where(TaskRow.once.startswith(begins, autoescape=True))
