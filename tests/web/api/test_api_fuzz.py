"""The interface held to its own word: cases made from it, no answer that it does not tell.

As many cases an operation as ESTIMATOR_FUZZ_CASES says (22 are about 2,000 in all).
"""

import os
import random
import warnings
from collections import Counter
from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any

import pytest
from flask import Flask
from hypothesis import HealthCheck, Phase, given, seed, settings
from store.databases import new_scope
from web.api.furnished import furnish
from web.api.office import Office, acting

from estimator.store.database import Database

schemathesis = pytest.importorskip("schemathesis", reason="needs schemathesis")

CASES = int(os.environ.get("ESTIMATOR_FUZZ_CASES", "22"))
# Computed without storage; their own tests cover them, and each case takes long.
_ELSEWHERE = ("/api/v1/estimates", "/api/v1/documents", "/api/v1/tables", "/api/v1/catalogue/")
# Of the addresses, so many name what is there.
_KNOWN_SHARE = 0.7


@pytest.fixture(scope="module")
def at_work(office_app: Flask, office_database: Database) -> tuple[Office, dict[str, Any]]:
    scope = new_scope(office_database)
    office = Office(office_app, scope).at(datetime.now(UTC))
    known: dict[str, Any] = {**furnish(office), "number": 1, "place": 1, "currency": "USD"}
    return office, known


def operations(app: Flask) -> Iterator[Any]:
    schema = schemathesis.openapi.from_wsgi("/api/openapi.json", app)
    for found in schema.get_all_operations():
        operation = found.ok()
        ends_all = (operation.method.upper(), operation.path) == ("DELETE", "/api/v1/organisation")
        if not (operation.path.startswith(_ELSEWHERE) or ends_all):
            yield operation


@pytest.mark.filterwarnings("ignore")
def test_every_answer_is_one_that_the_interface_tells(
    office_app: Flask, at_work: tuple[Office, dict[str, Any]]
) -> None:
    from schemathesis.checks import not_a_server_error
    from schemathesis.specs.openapi import checks

    office, known = at_work
    held_to = [
        not_a_server_error,
        checks.status_code_conformance,
        checks.content_type_conformance,
        checks.response_schema_conformance,
    ]
    statuses: Counter[int] = Counter()
    chance = random.Random(7)

    def run(operation: Any) -> None:
        @seed(7)
        @settings(
            max_examples=CASES, database=None, deadline=None, phases=[Phase.generate],
            suppress_health_check=list(HealthCheck),
        )  # fmt: skip
        @given(case=operation.as_strategy())
        def one(case: Any) -> None:
            for name in case.path_parameters or {}:
                if name in known and chance.random() < _KNOWN_SHARE:
                    case.path_parameters[name] = known[name]
            with acting(office_app, office.scope):
                answer = case.call()
            statuses[answer.status_code] += 1
            case.validate_response(answer, checks=held_to)

        one()

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        for operation in operations(office_app):
            run(operation)

    assert sum(statuses.values()) >= 60 * CASES
    # Cases that get nowhere would prove nothing.
    assert sum(count for status, count in statuses.items() if status < 300) > 10
