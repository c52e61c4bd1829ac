"""How often something was tried lately; of nobody in particular, gone after minutes."""

from datetime import datetime

from sqlalchemy import Index
from sqlalchemy.orm import Mapped, mapped_column

from estimator.store.tables.base import Base


class RateCounterRow(Base):
    """A counter of tries. key: what is counted, as a digest. ends_at: when it begins anew."""

    __tablename__ = "rate_counters"
    __table_args__ = (Index(None, "ends_at"),)

    key: Mapped[str] = mapped_column(primary_key=True)
    hits: Mapped[int]
    ends_at: Mapped[datetime]
