"""Background tasks: ask for one, see how far it is, stop it, fetch what it made."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from flask import Response, request
from flask_smorest import Blueprint
from marshmallow import Schema, fields, validate

from estimator.finding import Fault, InputRefused
from estimator.job.schema_fields import Text
from estimator.job.told import Told
from estimator.store.catalogues import find_catalogue, find_catalogue_version
from estimator.store.errors import NotFound
from estimator.store.files import find_file
from estimator.store.tables.work import TaskRow
from estimator.store.task_pieces import Pieces, cancel_pieces, pieces_of
from estimator.store.tasks import cancel_task, find_task
from estimator.tasks.batch_estimate import ask_batch
from estimator.tasks.import_price_list import ask_import
from estimator.tasks.kinds import EXPORT_ORGANISATION, MOST_JOBS, PIECES, REPRICE
from estimator.tasks.reprice import ask_reprice, piece_name
from estimator.web.api.field_kinds import Identifier, WordYesNo, answered, answered_id, moment
from estimator.web.api.listing import PageQuery, list_page, page_of
from estimator.web.api.operation import Ask, Operation, Reply, operation
from estimator.web.api.operation_doc import Documented
from estimator.web.api.sent_list import UPLOADS, SentListQuery, sent_list
from estimator.web.caller import caller

STATES = ("waiting", "running", "done", "failed", "cancelled")
_EXAMPLE_ID = "018f0000-0000-7000-8000-000000000001"
_OPEN = ("waiting", "running")
tasks = Blueprint(
    "tasks", __name__, url_prefix="/api/v1/tasks",
    description="Work that takes longer than a request: imports, estimates of many jobs, new "
    "prices for open quotes, exports",
)  # fmt: skip
_COLUMNS = {"created_at": TaskRow.created_at, "finished_at": TaskRow.finished_at}


class TaskQuery(PageQuery):
    """Which tasks are wanted."""

    state = Text(
        load_default="",
        validate=validate.OneOf(("", *STATES), error=f"must be one of {', '.join(STATES)}"),
        metadata={"description": "only those in this state", "example": "running"},
    )
    kind = Text(
        load_default="",
        validate=validate.Length(max=40),
        metadata={"description": "only those of this kind", "example": "import"},
    )


class ImportQuery(SentListQuery):
    """What to do with the list."""

    reprice = WordYesNo(
        load_default=False,
        metadata={"description": "and then give open quotes the new prices", "example": False},
    )


class RepriceBody(Told):
    """On which list."""

    catalogue_version_id = Identifier(
        required=True,
        metadata={"description": "the version in force", "example": _EXAMPLE_ID},
    )


class BatchBody(Told):
    """Which jobs."""

    job_ids = fields.List(
        Identifier(metadata={"example": _EXAMPLE_ID}),
        required=True,
        validate=validate.Length(min=1, max=MOST_JOBS),
        metadata={"description": "stored jobs"},
    )


class PiecesSchema(Schema):
    """The pieces of a task that is done in pieces."""

    waiting = answered(fields.Integer, "not begun", 0)
    running = answered(fields.Integer, "being done", 0)
    done = answered(fields.Integer, "done", 3)
    failed = answered(fields.Integer, "failed", 0)
    cancelled = answered(fields.Integer, "cancelled", 0)
    counts = fields.Dict(
        keys=fields.String(),
        values=fields.Integer(),
        required=True,
        metadata={"description": "sums of the results", "example": {"repriced": 250}},
    )


class BackgroundTaskSchema(Schema):
    """A task."""

    id = answered_id("identifier")
    kind = answered(fields.String, "what is done", "import")
    state = answered(fields.String, f"one of {', '.join(STATES)}", "running")
    done = answered(fields.Integer, "how far it is, in its own units", 5000)
    total = answered(fields.Integer, "of how many, where known", 20000, nullable=True)
    attempts = answered(fields.Integer, "begun so often", 1)
    most_attempts = answered(fields.Integer, "then it is given up", 3)
    fault = answered(fields.String, "what went wrong last", nullable=True)
    result = fields.Dict(
        required=True, allow_none=True, metadata={"description": "what came out, by kind"}
    )
    created_at = moment("when it was asked for")
    started_at = moment("when it was begun last", nullable=True)
    finished_at = moment("when it ended", nullable=True)
    stop_asked_at = moment("since when it is to stop", nullable=True)


class TaskInPiecesSchema(BackgroundTaskSchema):
    """A task and its pieces."""

    pieces = fields.Nested(
        PiecesSchema, required=True, allow_none=True,
        metadata={"description": "null for a task that has none"},
    )  # fmt: skip


@operation(tasks, Operation("GET", "", page_of(BackgroundTaskSchema), query=TaskQuery))
def list_tasks(ask: Ask) -> Reply:
    """List tasks, the newest first"""
    state, kind = ask.query["state"], ask.query["kind"]
    where = [TaskRow.state == state] if state else []
    where.append(TaskRow.kind == kind if kind else TaskRow.kind.not_in(PIECES))
    return list_page(ask, TaskRow, _COLUMNS, "-created_at", *where)


@operation(tasks, Operation("GET", "/<uuid:task_id>", TaskInPiecesSchema))
def show_task(ask: Ask, task_id: UUID) -> Reply:
    """Show a task and how far it is"""
    return Reply(_told(ask, find_task(ask.session, ask.scope, task_id)))


@operation(
    tasks,
    Operation("POST", "/import/<uuid:catalogue_id>", BackgroundTaskSchema, 202, query=ImportQuery,
              uploads=UPLOADS),
    documented=Documented("The task that reads the list"),
)  # fmt: skip
def import_later(ask: Ask, catalogue_id: UUID) -> Reply:
    """Send a price list to be imported in the background"""
    find_catalogue(ask.session, ask.scope, catalogue_id)
    return _asked(
        ask_import(
            ask.session,
            ask.scope,
            catalogue_id,
            sent_list(ask),
            request.mimetype,
            reprice=ask.query["reprice"],
        )
    )


@operation(
    tasks,
    Operation("POST", "/reprice", BackgroundTaskSchema, 202, body=RepriceBody),
    documented=Documented(
        "The task; of each version there is one only", {"catalogue_version_id": _EXAMPLE_ID}
    ),
)
def reprice_later(ask: Ask) -> Reply:
    """Give the open quotes with older prices of a catalogue those of the version in force"""
    version = find_catalogue_version(ask.session, ask.scope, ask.body["catalogue_version_id"])
    if version.superseded_at is not None:
        fault = Fault("/catalogue_version_id", "is not in force; put it in force first")
        raise InputRefused("request", (fault,))
    return _asked(ask_reprice(ask.session, ask.scope, version))


@operation(
    tasks,
    Operation("POST", "/batch-estimate", BackgroundTaskSchema, 202, body=BatchBody),
    documented=Documented("The task", {"job_ids": [_EXAMPLE_ID]}),
)
def estimate_later(ask: Ask) -> Reply:
    """Estimate many stored jobs at the prices of now"""
    return _asked(ask_batch(ask.session, ask.scope, ask.body["job_ids"]))


@operation(
    tasks,
    Operation("POST", "/<uuid:task_id>/cancel", TaskInPiecesSchema),
    documented=Documented("The task; one that runs stops at its next sign of life"),
)
def stop_task(ask: Ask, task_id: UUID) -> Reply:
    """Cancel a task and its pieces; what is done already stays"""
    row = find_task(ask.session, ask.scope, task_id)
    stopped = cancel_pieces(ask.session, ask.scope, piece_name(task_id))
    if row.state in _OPEN or not stopped:
        row = cancel_task(ask.session, ask.scope, task_id)
    return Reply(_told(ask, row))


@operation(
    tasks,
    Operation("GET", "/<uuid:task_id>/file", None),
    documented=Documented("The archive", media="application/zip"),
)
def show_task_file(ask: Ask, task_id: UUID) -> Response:
    """Fetch the archive that an export made (owners only)"""
    row = find_task(ask.session, ask.scope, task_id)
    if row.kind != EXPORT_ORGANISATION or row.state != "done" or row.file_id is None:
        raise NotFound("archive of task", task_id)
    if not caller().may("owner"):
        raise NotFound("archive of task", task_id)
    file = find_file(ask.session, ask.scope, row.file_id)
    answer = Response(file.content, 200, content_type=file.media_type)
    answer.headers["Content-Disposition"] = f'attachment; filename="{file.name}"'
    return answer


def _asked(row: TaskRow) -> Reply:
    return Reply(row, location=f"/api/v1/tasks/{row.id}")


def _told(ask: Ask, row: TaskRow) -> Mapping[str, Any]:
    told = {each: getattr(row, each) for each in BackgroundTaskSchema().fields}
    pieces: Pieces | None = None
    if row.kind == REPRICE:
        pieces = pieces_of(ask.session, ask.scope, piece_name(row.id))
    return told | {"pieces": pieces}
