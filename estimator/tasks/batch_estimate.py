"""Estimate many stored jobs at the prices of now, and keep what came out, job by job."""

from collections.abc import Sequence
from typing import Any
from uuid import UUID

from sqlalchemy.orm import Session

from estimator.finding import InputRefused
from estimator.store.errors import NotFound
from estimator.store.jobs import find_job
from estimator.store.scope import Scope
from estimator.store.tables.work import TaskRow
from estimator.store.tasks import add_task
from estimator.stored.estimate import compute
from estimator.stored.means import Wanted
from estimator.stored.quoting import stored_job
from estimator.tasks.kinds import BATCH_ESTIMATE
from estimator.tasks.queue import hand_over
from estimator.tasks.work import Work


def ask_batch(session: Session, scope: Scope, job_ids: Sequence[UUID]) -> TaskRow:
    """Ask for estimates of jobs. Raises NotFound for one that is not there."""
    for job_id in job_ids:
        find_job(session, scope, job_id)
    asked = {"job_ids": [str(each) for each in dict.fromkeys(job_ids)]}
    task = add_task(session, scope, BATCH_ESTIMATE, asked)
    hand_over(session, task)
    return task


def estimate_jobs(work: Work) -> None:
    """Nothing is changed but the outcome, so a second attempt begins anew."""
    job_ids = [UUID(each) for each in work.asked["job_ids"]]
    told = []
    for done, job_id in enumerate(job_ids):
        work.progress(done, len(job_ids))
        told.append(_estimate(work, job_id))
    with work.database.writing() as session:
        work.finish(session, {"jobs": told})


def _estimate(work: Work, job_id: UUID) -> dict[str, Any]:
    scope = work.now()
    try:
        with work.database.reading() as session:
            name = find_job(session, scope, job_id).name
            job = stored_job(session, scope, job_id, None)
            day = scope.today
            computed = compute(session, scope, job.document, Wanted(), day, job.used)
    except NotFound as error:  # removed since
        return {"job_id": str(job_id), "fault": str(error)}
    except InputRefused as refused:
        faults = [f"{each.where}: {each.message}" for each in refused.faults]
        return {"job_id": str(job_id), "name": name, "fault": "; ".join(faults)}
    price = computed.estimate.price
    errors = sum(found.severity == "error" for found in computed.estimate.findings)
    return {
        "job_id": str(job_id),
        "name": name,
        "total": str(price.total),
        "currency": price.currency,
        "complete": price.complete,
        "errors": errors,
    }
