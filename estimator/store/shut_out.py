"""An owner shuts somebody out, or lets them in again."""

from uuid import UUID

from sqlalchemy.orm import Session

from estimator.store.audit import note
from estimator.store.errors import Conflict
from estimator.store.people import check_owners, find_membership, find_person, memberships_of
from estimator.store.scope import Scope, keep
from estimator.store.sign_ins import keep_disabled
from estimator.store.tables.organisations import PersonRow

_ONESELF = "You cannot shut yourself out; another owner can."
_ELSEWHERE = (
    "This account is used outside this organisation too, so whoever runs the service has to do "
    "that. You can take the person out of this organisation instead."
)


def shut_out(session: Session, scope: Scope, person_id: UUID) -> PersonRow:
    """Shut a person out at once, by session and by token; they stay in the organisation.

    Raises NotFound; Conflict for oneself, for the last owner who can sign in, and for a person
    who is in another organisation too, whose owner would have a say in it.
    """
    member = find_membership(session, scope, person_id)
    if person_id == scope.person_id:
        raise Conflict(_ONESELF)
    check_owners(session, scope, member)
    return _keep(session, scope, person_id, disabled=True)


def let_in(session: Session, scope: Scope, person_id: UUID) -> PersonRow:
    """Let a person in again who was shut out. Raises NotFound, Conflict as shut_out does."""
    find_membership(session, scope, person_id)
    return _keep(session, scope, person_id, disabled=False)


def _keep(session: Session, scope: Scope, person_id: UUID, *, disabled: bool) -> PersonRow:
    if len(memberships_of(session, person_id)) > 1:
        raise Conflict(_ELSEWHERE)
    person = find_person(session, person_id)
    keep_disabled(session, person, scope.at, disabled=disabled)
    # Who read the person before has to see that it is not as it was.
    keep(session, scope, find_membership(session, scope, person_id))
    note(session, scope, "shut out" if disabled else "let in", "person", person_id)
    return person
