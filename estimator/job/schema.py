"""The one door for outside input: every field of a job description, checked all at once."""

from functools import cache
from typing import Any

from marshmallow import Schema, ValidationError, fields

from estimator.finding import Fault, InputRefused
from estimator.job.asked import about
from estimator.job.consistency import contradictions
from estimator.job.faults import capped
from estimator.job.limits import LENGTH_FT, NAME, SURFACE
from estimator.job.number_fields import DecimalText
from estimator.job.schema_circuits import CircuitSchema, DirectLoadSchema
from estimator.job.schema_equipment import (
    InletForm,
    InletSchema,
    LoadCentreSchema,
    SiteSchema,
    SupplySchema,
    TransferSchema,
)
from estimator.job.schema_fields import Part, Rows, Text, Word
from estimator.job.schema_runs import RunSchema
from estimator.job.schema_stock import StockSchema
from estimator.job.schema_terms import (
    ComparisonSchema,
    CreditClaimSchema,
    LabourSchema,
    TermsSchema,
)
from estimator.job.told import Told, flattened
from estimator.job.validators import Size, Within


class JobSchema(Told):
    """One wiring job: four facts, and whatever else is known."""

    circuits = Rows(
        CircuitSchema,
        required=True,
        size=Size(1, 400, "circuits"),
        metadata={"description": "a list of the circuits to back up"},
    )
    mounting_surface = Word(
        required=True,
        validate=SURFACE,
        metadata=about("the surface that the equipment is fastened to", "concrete_block"),
    )
    run_length_ft = DecimalText(
        required=True,
        validate=LENGTH_FT,
        metadata=about("the length from inlet to transfer equipment along the raceway [ft]", 18),
    )
    inlet = InletForm(
        InletSchema, required=True, metadata=about("the configuration of the inlet", "L14-30")
    )
    name = Text(validate=NAME, metadata=about("name of the job", "Lakeside Lane backup"))
    site = Part(SiteSchema)
    supply = Part(SupplySchema)
    cord_length_ft = DecimalText(
        validate=LENGTH_FT, metadata=about("length of the supply cord [ft]", 20)
    )
    transfer = Part(TransferSchema)
    load_centre = Part(LoadCentreSchema)
    runs = Rows(
        RunSchema,
        size=Size(1, 200, "runs"),
        metadata={"description": "runs in order from the inlet to the load centre"},
    )
    direct_loads = Rows(
        DirectLoadSchema,
        size=Size(0, 200, "direct loads"),
        metadata={"description": "loads plugged into the supply itself"},
    )
    voltage_drop_target_percent = DecimalText(
        validate=Within(0, 10, "%", above=True),
        metadata=about("largest voltage drop of a run [%]", 3),
    )
    labour = Part(LabourSchema)
    terms = Part(TermsSchema)
    credit_claim = Part(CreditClaimSchema)
    comparison = Part(ComparisonSchema)
    stock = Rows(
        StockSchema,
        size=Size(0, 500, "items"),
        metadata={"description": "parts that are at hand already"},
    )


@cache
def job_schema() -> JobSchema:
    """The schema, made once in a process."""
    return JobSchema()


def check_job(document: object) -> dict[str, Any]:
    """What the user told, typed: exact decimals, dates, whole numbers; nothing filled in.

    document: plain objects, as read_job_document gives them. The short form of inlet comes
    back in its long form. Raises InputRefused with every fault at once,
    each with its JSON pointer.
    """
    faults: list[Fault] = []
    told = job_schema().fault_free(document)
    if told is None:
        told = _told_with_faults(document, faults)
    faults += contradictions(told)
    if faults:
        raise InputRefused("job description", capped(faults))
    return told


def _told_with_faults(document: object, faults: list[Fault]) -> dict[str, Any]:
    try:
        told: dict[str, Any] = job_schema().load(document)  # type: ignore[arg-type]
    except ValidationError as error:
        faults += flattened(error.messages, "")
        told = error.valid_data if isinstance(error.valid_data, dict) else {}
    return told


def told_value(field_path: str, raw: object) -> Any:
    """One value as the field at this path would read it; "/runs/*/place" names a field.

    Raises ValidationError when it cannot stand there, KeyError for an unknown field.
    """
    schema: Schema = job_schema()
    *parents, last = field_path.strip("/").replace("/*", "").split("/")
    for parent in parents:
        field = schema.fields[parent]
        assert isinstance(field, fields.Nested)
        schema = field.schema
    return schema.fields[last].deserialize(raw)
