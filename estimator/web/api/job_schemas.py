"""What is asked and answered about stored jobs."""

from typing import Any

from marshmallow import Schema, fields

from estimator.job.schema_fields import YesNo
from estimator.job.told import Told
from estimator.store.tables.jobs import JobRow
from estimator.web.api.field_kinds import (
    Description,
    Identifier,
    WordYesNo,
    answered,
    answered_id,
    moment,
    name,
    optional_id,
    remark,
)
from estimator.web.api.listing import ArchivedQuery
from estimator.web.api.means_fields import MeansBody
from estimator.web.api.operation import Reply

DESCRIPTION: dict[str, Any] = {
    "circuits": [
        {"name": "Kitchen refrigerator", "breaker_a": 20, "running_w": 180, "starting_w": 1200}
    ],
    "mounting_surface": "concrete_block",
    "run_length_ft": 18,
    "inlet": "L14-30",
}
JOB_EXAMPLE = {"name": "House on the hill", "description": DESCRIPTION}
HEAD_EXAMPLE = {"name": "House on the hill", "template": False, "archived": False}
COPY_EXAMPLE = {"name": "Usual house", "template": True}
SAVE_EXAMPLE = {"description": {**DESCRIPTION, "run_length_ft": 24}, "note": "measured again"}


def _template() -> YesNo:
    return YesNo(
        load_default=False,
        metadata={"description": "to make other jobs from", "example": False},
    )


class JobHeadBody(Told):
    """What stands around a job's description."""

    name = name("what the office calls it", "House on the hill")
    customer_id = optional_id("whose house it is")
    template = _template()
    archived = YesNo(load_default=False, metadata={"description": "put aside", "example": False})


class JobBody(Told):
    """A new job."""

    name = name("what the office calls it", "House on the hill")
    customer_id = optional_id("whose house it is")
    template = _template()
    description = Description(required=True)
    note = remark("why this version", "as told on the phone", most=500)


class CopyBody(Told):
    """A job that is made from another."""

    name = name("what the office calls the new one", "Usual house")
    customer_id = optional_id("whose house it is")
    template = _template()


class DescriptionBody(Told):
    """A job's next version."""

    description = Description(required=True)
    note = remark("why this version", "measured again", most=500)


class JobEstimateBody(MeansBody):
    """What to estimate a stored job with."""


class JobQuery(ArchivedQuery):
    """Which jobs."""

    template = WordYesNo(
        load_default=None, metadata={"description": "templates only, or none of them"}
    )
    customer_id = Identifier(load_default=None, metadata={"description": "of this customer"})


class JobRowSchema(Schema):
    """A stored job."""

    id = answered_id("identifier")
    name = answered(fields.String, "what the office calls it", "House on the hill")
    customer_id = answered_id("whose house it is", nullable=True)
    template = answered(fields.Boolean, "to make other jobs from", False)
    newest = answered(fields.Integer, "number of its newest version", 1)
    version = answered(fields.Integer, "counts changes of any kind; the ETag", 1)
    created_at = moment("when it was added")
    changed_at = moment("when it was last changed")
    archived_at = moment("since when it is put aside", nullable=True)


class JobVersionRowSchema(Schema):
    """A version of a job, without its description."""

    number = answered(fields.Integer, "from 1", 1)
    note = answered(fields.String, "why this version", "measured again")
    digest = answered(fields.String, "SHA-256 of the description")
    created_at = moment("when it was saved")
    by_person = answered_id("who saved it", nullable=True)


class JobVersionSchema(JobVersionRowSchema):
    """A version of a job."""

    description = Description(required=True)


def job_told(row: JobRow, *, made: bool = False) -> Reply:
    """A job as it is answered."""
    return Reply(row, row.version, f"/api/v1/jobs/{row.id}" if made else "")
