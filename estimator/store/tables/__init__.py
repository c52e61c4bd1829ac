"""All tables; importing this package makes them known to ``metadata``."""

from estimator.store.tables import (
    catalogues,
    jobs,
    organisations,
    own_documents,
    quotes,
    rates,
    suppliers,
    work,
)
from estimator.store.tables.base import Base

metadata = Base.metadata

__all__ = [
    "catalogues", "jobs", "metadata", "organisations", "own_documents", "quotes", "rates",
    "suppliers", "work",
]  # fmt: skip
