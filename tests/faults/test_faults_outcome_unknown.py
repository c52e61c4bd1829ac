"""A connection that breaks in the very moment when a change is kept."""

import pytest
from sqlalchemy import event, text
from store.databases import empty_postgres, new_scope

from estimator.store import jobs
from estimator.store.database import open_database
from estimator.store.errors import DatabaseUnavailable, OutcomeUnknown
from estimator.store.listing import Page, list_rows
from estimator.store.migrate import upgrade
from estimator.store.tables.jobs import JobRow

JOB = {"inlet": "L14-30"}


@pytest.mark.parametrize("when", ["before the end", "at the end"])
def test_only_who_was_at_the_end_is_told_that_it_is_not_known(postgres: str, when: str) -> None:
    with empty_postgres(postgres) as url, empty_postgres(postgres) as other_url:
        database, other = open_database(url), open_database(other_url)
        upgrade(database)
        scope = new_scope(database)

        def cut(connection: object) -> None:
            backend = connection.connection.driver_connection.info.backend_pid  # type: ignore[attr-defined]
            with other.reading() as session:
                session.execute(text(f"SELECT pg_terminate_backend({backend}, 5000)"))

        with pytest.raises(DatabaseUnavailable) as refused, database.writing() as session:
            jobs.add_job(session, scope, "Lost or not", JOB)
            if when == "at the end":
                event.listen(database.engine, "commit", cut, once=True)
            else:
                cut(session.connection())
                jobs.add_job(session, scope, "Never begun", JOB)

        assert isinstance(refused.value, OutcomeUnknown) == (when == "at the end")
        assert ("Look whether it is there" in str(refused.value)) == (when == "at the end")
        assert refused.value.retry_after_s > 0
        with database.reading() as session:
            assert list_rows(session, scope, JobRow, Page()).total == 0
        database.close()
        other.close()
