"""An organisation at work, on SQLite and on PostgreSQL."""

import pytest
from tasks.office import Office, new_office

from estimator.store.database import Database


@pytest.fixture
def office(database: Database) -> Office:
    return new_office(database)
