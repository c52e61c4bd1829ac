"""Jobs: what stands around the description."""

from uuid import UUID

from flask_smorest import Blueprint

from estimator.store.customers import find_customer
from estimator.store.jobs import (
    add_job,
    change_job,
    find_job,
    find_job_version,
    job_document,
    remove_job,
)
from estimator.store.tables.jobs import JobRow
from estimator.stored.estimate import check_description
from estimator.web.api.job_schemas import (
    COPY_EXAMPLE,
    HEAD_EXAMPLE,
    JOB_EXAMPLE,
    CopyBody,
    JobBody,
    JobHeadBody,
    JobQuery,
    JobRowSchema,
    job_told,
)
from estimator.web.api.listing import list_page, named_like, page_of, put_aside
from estimator.web.api.operation import Ask, Operation, Reply, operation
from estimator.web.api.operation_doc import Documented

jobs = Blueprint(
    "jobs",
    __name__,
    url_prefix="/api/v1/jobs",
    description="Wiring jobs; every save of a description is a version, and none is ever lost",
)
_COLUMNS = {
    "name": JobRow.name,
    "created_at": JobRow.created_at,
    "changed_at": JobRow.changed_at,
}


@operation(jobs, Operation("GET", "", page_of(JobRowSchema), query=JobQuery))
def list_jobs(ask: Ask) -> Reply:
    """List jobs"""
    where = [
        put_aside(JobRow.archived_at, ask.query["archived"]),
        *named_like(ask.query["search"], JobRow.name),
    ]
    if ask.query["template"] is not None:
        where.append(JobRow.template.is_(ask.query["template"]))
    if ask.query["customer_id"] is not None:
        customer = find_customer(ask.session, ask.scope, ask.query["customer_id"])
        where.append(JobRow.customer_id == customer.id)
    return list_page(ask, JobRow, _COLUMNS, "-changed_at", *where)


@operation(
    jobs,
    Operation("POST", "", JobRowSchema, 201, body=JobBody),
    documented=Documented("The new job, with its first version", JOB_EXAMPLE),
)
def create_job(ask: Ask) -> Reply:
    """Add a job with its first description"""
    body = ask.body
    check_description(body["description"], ask.today)
    row = add_job(
        ask.session,
        ask.scope,
        body["name"],
        body["description"],
        customer_id=body["customer_id"],
        template=body["template"],
        why=body["note"],
    )
    return job_told(row, made=True)


@operation(jobs, Operation("GET", "/<uuid:job_id>", JobRowSchema))
def show_job(ask: Ask, job_id: UUID) -> Reply:
    """Show a job; its description is one of its versions"""
    return job_told(find_job(ask.session, ask.scope, job_id))


@operation(
    jobs,
    Operation("PUT", "/<uuid:job_id>", JobRowSchema, body=JobHeadBody, if_match=True),
    documented=Documented("The job as it is now", HEAD_EXAMPLE),
)
def replace_job(ask: Ask, job_id: UUID) -> Reply:
    """Change what stands around a job's description"""
    row = find_job(ask.session, ask.scope, job_id)
    row = change_job(
        ask.session,
        ask.scope,
        job_id,
        ask.condition.version(row.version),
        name=ask.body["name"],
        customer_id=ask.body["customer_id"],
        template=ask.body["template"],
        archived=ask.body["archived"],
    )
    return job_told(row)


@operation(jobs, Operation("DELETE", "/<uuid:job_id>", None, 204, if_match=True))
def delete_job(ask: Ask, job_id: UUID) -> Reply:
    """Remove a job without quotes, with all its versions"""
    row = find_job(ask.session, ask.scope, job_id)
    remove_job(ask.session, ask.scope, job_id, ask.condition.version(row.version))
    return Reply()


@operation(
    jobs,
    Operation("POST", "/<uuid:job_id>/copies", JobRowSchema, 201, body=CopyBody),
    documented=Documented("The new job", COPY_EXAMPLE),
)
def copy_job(ask: Ask, job_id: UUID) -> Reply:
    """Make a job or a template from the newest version of a job"""
    source = find_job(ask.session, ask.scope, job_id)
    newest = find_job_version(ask.session, ask.scope, job_id, source.newest)
    row = add_job(
        ask.session,
        ask.scope,
        ask.body["name"],
        job_document(newest),
        customer_id=ask.body["customer_id"],
        template=ask.body["template"],
        why=f"from {source.name}, version {newest.number}",
    )
    return job_told(row, made=True)
