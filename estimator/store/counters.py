"""Numbers without holes: given out in the transaction that uses them."""

from typing import Any

from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.orm import Session

from estimator.store.scope import Scope
from estimator.store.tables.quotes import CounterRow


def next_number(session: Session, scope: Scope, name: str) -> int:
    """The next number of an organisation's sequence, from 1.

    Others who want one wait until this transaction ends; a transaction that fails gives its
    number back, so none is ever missing.
    """
    on_sqlite = session.get_bind().dialect.name == "sqlite"
    insert: Any = (sqlite if on_sqlite else postgresql).insert(CounterRow)
    statement = (
        insert.values(organisation_id=scope.organisation_id, name=name, value=1)
        .on_conflict_do_update(
            index_elements=["organisation_id", "name"], set_={"value": CounterRow.value + 1}
        )
        .returning(CounterRow.value)
        .execution_options(**scope.options)
    )
    number: int = session.execute(statement).scalar_one()
    return number
