"""A price list in the body of a request: its bytes, or a form with what its columns hold."""

from flask import request
from marshmallow import validate

from estimator.finding import Fault, InputRefused
from estimator.job.schema_fields import Text
from estimator.job.told import Told
from estimator.stored.price_lists import SentList
from estimator.web.api.operation import Ask

FORM = "multipart/form-data"
UPLOADS = (
    "text/csv",
    "text/tab-separated-values",
    "text/plain",
    "application/gzip",
    "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "application/vnd.oasis.opendocument.spreadsheet",
    "application/vnd.ms-excel",
    "application/octet-stream",
    FORM,
)
_LONGEST_NAME = 200


class SentListQuery(Told):
    """What the file is called."""

    file_name = Text(
        load_default="",
        validate=validate.Length(max=_LONGEST_NAME),
        metadata={
            "description": "name of the file; needed unless a form tells it",
            "example": "north_counter.csv",
        },
    )


def sent_list(ask: Ask) -> SentList:
    """The list of the present request. Raises InputRefused without a name or file."""
    if request.mimetype != FORM:
        name, data, told = ask.query["file_name"], ask.data, None
    else:
        file = request.files.get("file")
        if file is None:
            raise InputRefused("upload", (Fault("/file", "is missing; send the price list"),))
        name = ask.query["file_name"] or (file.filename or "")[:_LONGEST_NAME]
        data = file.read()
        text = request.form.get("mapping", "").strip()
        told = text.encode("utf-8", "surrogatepass") if text else None
    name = "".join(letter for letter in name if letter.isprintable()).strip()
    faults = []
    if not name:
        faults.append(Fault("?file_name", "is missing; say what the file is called"))
    if not data:
        faults.append(Fault("/file", "is empty"))
    if faults:
        raise InputRefused("upload", tuple(faults))
    return SentList(name, data, told)
