"""The service in shared mode, on SQLite and on PostgreSQL."""

from collections.abc import Iterator

import pytest
from argon2 import PasswordHasher
from web.people.shared_service import Office, Service

from estimator.store.database import Database
from estimator.web import passwords


@pytest.fixture(scope="module", autouse=True)
def quick_passwords() -> Iterator[None]:
    """Slow on purpose is for attackers; tests know the passwords."""
    usual = passwords._hasher
    passwords._hasher = PasswordHasher(time_cost=1, memory_cost=64, parallelism=1)
    yield
    passwords._hasher = usual


@pytest.fixture(scope="module")
def service(database: Database) -> Service:
    return Service(database)


@pytest.fixture
def office(service: Service) -> Office:
    return service.office()
