"""The price lists that are kept and in force: which there are, and a job priced from them."""

from collections.abc import Mapping
from datetime import date

from estimator.documents.records import FullEstimate
from estimator.finding import Fault, InputRefused
from estimator.store.catalogues import find_catalogue, versions_in_force
from estimator.store.errors import StoreError
from estimator.stored.estimate import compute
from estimator.stored.means import Wanted
from estimator.stored.plain_objects import plain_objects
from estimator.web.app_database import database, database_made
from estimator.web.caller import caller

_DESCRIPTION = "/description"


def lists_in_force() -> tuple[str, ...]:
    """Names of the caller's price lists in force; none where there is no database yet."""
    if not database_made():
        return ()
    try:
        scope = caller().scope
        with database().reading() as session:
            return tuple(
                find_catalogue(session, scope, each.catalogue_id).name
                for each in versions_in_force(session, scope)
            )
    except StoreError:
        return ()  # the page that is asked for needs no list


def estimate_from_lists(
    document: Mapping[str, object], day: date, *, by_year: bool = False
) -> FullEstimate:
    """A job priced from the caller's lists in force. Raises InputRefused, StoreError."""
    scope = caller().scope
    wanted = Wanted(year_table=by_year)
    try:
        with database().reading() as session:
            return compute(session, scope, plain_objects(document), wanted, day).estimate
    except InputRefused as refused:
        faults = [
            Fault(one.where.removeprefix(_DESCRIPTION), one.message) for one in refused.faults
        ]
        raise InputRefused(refused.what, tuple(faults)) from None
