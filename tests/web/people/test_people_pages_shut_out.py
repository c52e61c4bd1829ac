"""Shutting people out, on both databases: by two owners at once, and with an invitation."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import timedelta
from threading import Barrier

from web.people.shared_service import PASSWORD, Office

from estimator.store.errors import StoreError
from estimator.store.invitations import invite
from estimator.store.organisation_list import members_of
from estimator.store.people import change_role, memberships_of
from estimator.store.shut_out import let_in, shut_out


def test_two_owners_cannot_shut_each_other_out_at_the_same_time(office: Office) -> None:
    database, people = office.service.database, office.people
    owners = (people["owner"], people["estimator"])
    with database.writing() as session:
        change_role(session, office.scope, owners[1], "owner", None)
    barrier = Barrier(2)

    def by(acting: int) -> bool:
        scope = replace(office.scope, person_id=owners[acting])
        barrier.wait(timeout=20)
        try:
            with database.writing() as session:
                shut_out(session, scope, owners[1 - acting])
        except StoreError:
            return False
        return True

    for _ in range(5):
        with ThreadPoolExecutor(2) as both:
            done = list(both.map(by, (0, 1)))
        with database.writing() as session:
            out = [each.id for each in members_of(session, office.scope) if each.disabled]
            assert (len(out), sum(done)) == (1, 1)
            let_in(session, office.scope, out[0])


def test_somebody_shut_out_cannot_join_another_organisation(office: Office) -> None:
    database, key = office.service.database, office.people["reader"]
    other = office.service.office()
    with database.writing() as session:
        shut_out(session, office.scope, key)
        until = other.scope.at + timedelta(days=1)
        _, secret = invite(session, other.scope, office.emails["reader"], "reader", until)
    browser = office.service.browser()

    wrong = browser.post(f"/join/{secret.text}", {"password": "not it"})
    joined = browser.post(f"/join/{secret.text}", {"password": PASSWORD})

    assert "shut out" not in wrong.text  # told only to whoever knows the password
    assert (joined.status_code, "shut out" in joined.text) == (403, True)
    with database.reading() as session:
        assert len(memberships_of(session, key)) == 1
