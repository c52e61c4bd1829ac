"""Versions of a stored job, and the estimate of one."""

from typing import Any
from uuid import UUID

from flask_smorest import Blueprint

from estimator.documents.result_json import result_document
from estimator.store.jobs import find_job, find_job_version, job_document, save_job
from estimator.store.tables.jobs import JobVersionRow
from estimator.stored.estimate import check_description, compute
from estimator.stored.quoting import named_document, used_job
from estimator.web.api.job_schemas import (
    SAVE_EXAMPLE,
    DescriptionBody,
    JobEstimateBody,
    JobRowSchema,
    JobVersionRowSchema,
    JobVersionSchema,
    job_told,
)
from estimator.web.api.listing import PageQuery, list_page, page_of
from estimator.web.api.means_fields import wanted_of
from estimator.web.api.operation import Ask, Operation, Reply, operation
from estimator.web.api.operation_doc import Documented
from estimator.web.api.result_schema import ResultSchema

job_versions = Blueprint(
    "job versions",
    __name__,
    url_prefix="/api/v1/jobs/<uuid:job_id>",
    description="The descriptions of a job, version by version",
)
_NUMBER = "/versions/<int(min=1, max=999999999):number>"
_COLUMNS = {"number": JobVersionRow.number, "created_at": JobVersionRow.created_at}


@operation(
    job_versions, Operation("GET", "/versions", page_of(JobVersionRowSchema), query=PageQuery)
)
def list_job_versions(ask: Ask, job_id: UUID) -> Reply:
    """List the versions of a job, the newest first"""
    find_job(ask.session, ask.scope, job_id)
    where = JobVersionRow.job_id == job_id
    return list_page(ask, JobVersionRow, _COLUMNS, "-number", where)


@operation(job_versions, Operation("GET", _NUMBER, JobVersionSchema))
def show_job_version(ask: Ask, job_id: UUID, number: int) -> Reply:
    """Show a version with its description"""
    row = find_job_version(ask.session, ask.scope, job_id, number)
    return Reply(_version(row))


@operation(
    job_versions,
    Operation("PUT", "/description", JobRowSchema, body=DescriptionBody, if_match=True),
    documented=Documented("The job; newest is the number of the new version", SAVE_EXAMPLE),
)
def save_description(ask: Ask, job_id: UUID) -> Reply:
    """Save a description as the next version; the same one again changes nothing"""
    row = find_job(ask.session, ask.scope, job_id)
    version = ask.condition.version(row.version)
    check_description(ask.body["description"], ask.today)
    row = save_job(
        ask.session, ask.scope, job_id, ask.body["description"], version, ask.body["note"]
    )
    return job_told(row)


@operation(
    job_versions,
    Operation("POST", _NUMBER + "/estimate", ResultSchema, body=JobEstimateBody, stores=False),
    documented=Documented("Design, parts, labour, price and credits", {"year_table": False}),
)
def estimate_job_version(ask: Ask, job_id: UUID, number: int) -> Reply:
    """Estimate a version with what the organisation keeps; nothing is stored"""
    row = find_job(ask.session, ask.scope, job_id)
    version = find_job_version(ask.session, ask.scope, job_id, number)
    computed = compute(
        ask.session,
        ask.scope,
        named_document(row, version),
        wanted_of(ask.body),
        ask.body["on"] or ask.today,
        used_job(row, version),
    )
    return Reply(result_document(computed.estimate), plain=True)


def _version(row: JobVersionRow) -> dict[str, Any]:
    return {
        "number": row.number,
        "note": row.note,
        "digest": row.digest,
        "created_at": row.created_at,
        "by_person": row.by_person,
        "description": job_document(row),
    }
