"""Which answer stands for an error of the store."""

from collections.abc import Mapping

from estimator.store.errors import (
    Conflict,
    DatabaseUnavailable,
    NoLongerValid,
    NotFound,
    SchemaMismatch,
    StaleVersion,
    StorageFull,
    StoreError,
)

# A database that waits for its upgrade gets it in minutes, not in seconds.
_UPGRADE_SECONDS = 60
_STATUSES: Mapping[type[StoreError], int] = {
    NoLongerValid: 401,
    NotFound: 404,
    Conflict: 409,
    StaleVersion: 412,
    DatabaseUnavailable: 503,
    SchemaMismatch: 503,
    StorageFull: 507,
}


def status_of(error: StoreError) -> tuple[int, int | None]:
    """(HTTP status, seconds after which to try again or None). 500 for what is a bug of ours."""
    status = next((code for kind, code in _STATUSES.items() if isinstance(error, kind)), 500)
    if isinstance(error, DatabaseUnavailable):
        return status, error.retry_after_s
    return status, _UPGRADE_SECONDS if isinstance(error, SchemaMismatch) else None
