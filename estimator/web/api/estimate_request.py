"""The body of a request for an estimate, read exactly: no float, no doubled name."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

from estimator.config import Config
from estimator.credits.programme_file import MOST_PROGRAMMES
from estimator.finding import Fault, InputRefused
from estimator.job.from_json import from_json
from estimator.usecases import NamedBytes

_FIELDS = (
    "job", "catalogue", "confirmed", "supplier_terms", "labour_units", "programmes",
    "programme_facts", "year_table", "on",
)  # fmt: skip
_LONGEST_NAME = 200


class BodyUnreadable(Exception):
    """The body is not the JSON that it claims to be."""

    def __init__(self, refused: InputRefused) -> None:
        super().__init__(str(refused))
        self.refused = refused


@dataclass(frozen=True, slots=True)
class EstimateRequest:
    """A job as plain objects, with price lists, labour units and programmes as named bytes."""

    job: object
    price_lists: tuple[NamedBytes, ...]
    labour_units: NamedBytes | None
    programmes: tuple[NamedBytes, ...]
    programme_facts: tuple[tuple[str, str], ...]
    year_table: bool
    on: date | None
    confirmed: NamedBytes | None
    supplier_terms: NamedBytes | None


def read_estimate_request(body: bytes, config: Config) -> EstimateRequest:
    """The request from its body.

    Raises BodyUnreadable when it is not JSON, InputRefused with every fault of its outer
    shape (the job itself is checked later).
    """
    document = read_body(body)
    faults: list[Fault] = []
    unknown = [name for name in document if name not in _FIELDS]
    faults += [
        Fault(f"/{name}", f"is not a field; the fields are {', '.join(_FIELDS)}")
        for name in unknown
    ]
    if "job" not in document:
        faults.append(Fault("/job", "is missing; give the job description"))
    request = EstimateRequest(
        document.get("job"),
        read_price_lists(document.get("catalogue"), config, faults),
        _optional(document, "labour_units", faults),
        _programmes(document.get("programmes", []), faults),
        _facts(document.get("programme_facts", {}), faults),
        _flag(document, "year_table", faults),
        read_day(document.get("on"), faults),
        _optional(document, "confirmed", faults),
        _optional(document, "supplier_terms", faults),
    )
    if faults:
        raise InputRefused("request", tuple(faults))
    return request


def read_body(body: bytes) -> Mapping[str, object]:
    """The body as a JSON object; raises BodyUnreadable, or InputRefused for another value."""
    try:
        document = from_json(body.decode("utf-8-sig"), "body")
    except UnicodeDecodeError:
        fault = Fault("", "the body is not UTF-8 text")
        raise BodyUnreadable(InputRefused("body", (fault,))) from None
    except InputRefused as refused:
        raise BodyUnreadable(refused) from None
    if not isinstance(document, dict):
        raise InputRefused("request", (Fault("", "the body must be a JSON object"),))
    return document


def read_price_lists(value: object, config: Config, faults: list[Fault]) -> tuple[NamedBytes, ...]:
    """The price lists of field catalogue; faults are added."""
    if not isinstance(value, list):
        faults.append(
            Fault("/catalogue", "must be a list of price lists; an empty list prices nothing")
        )
        return ()
    if len(value) > config.max_price_lists:
        faults.append(
            Fault("/catalogue", f"holds {len(value)} price lists; {config.max_price_lists} at most")
        )
        return ()
    read = [read_named_text(one, f"/catalogue/{place}", faults) for place, one in enumerate(value)]
    return tuple(one for one in read if one is not None)


def _optional(document: Mapping[str, object], name: str, faults: list[Fault]) -> NamedBytes | None:
    if name not in document:
        return None
    return read_named_text(document[name], f"/{name}", faults)


def _programmes(value: object, faults: list[Fault]) -> tuple[NamedBytes, ...]:
    if not isinstance(value, list) or len(value) > MOST_PROGRAMMES:
        what = f"must be a list of at most {MOST_PROGRAMMES} programmes"
        faults.append(Fault("/programmes", what))
        return ()
    read = [read_named_text(one, f"/programmes/{place}", faults) for place, one in enumerate(value)]
    return tuple(one for one in read if one is not None)


def _facts(value: object, faults: list[Fault]) -> tuple[tuple[str, str], ...]:
    if not isinstance(value, dict) or not all(isinstance(one, str) for one in value.values()):
        faults.append(Fault("/programme_facts", "must be an object of texts by name of the fact"))
        return ()
    return tuple(value.items())


def _flag(document: Mapping[str, object], name: str, faults: list[Fault]) -> bool:
    value = document.get(name, False)
    if not isinstance(value, bool):
        faults.append(Fault(f"/{name}", "must be true or false"))
        return False
    return value


def read_named_text(value: object, where: str, faults: list[Fault]) -> NamedBytes | None:
    """One file from its object of name and text; faults are added."""
    if not isinstance(value, dict) or set(value) != {"name", "text"}:
        faults.append(Fault(where, "must be an object with name and text"))
        return None
    name, text = value["name"], value["text"]
    if not isinstance(name, str) or not 1 <= len(name) <= _LONGEST_NAME:
        faults.append(Fault(f"{where}/name", f"must be text of 1 to {_LONGEST_NAME} characters"))
        return None
    if not isinstance(text, str):
        faults.append(Fault(f"{where}/text", "must be the file's text"))
        return None
    return name, text.encode("utf-8", "surrogatepass")


def read_day(value: object, faults: list[Fault]) -> date | None:
    """The day of the field "on"; None where there is none. A fault is added."""
    if value is None:
        return None
    try:
        # Weeks and days without dashes are ISO 8601 too, but nobody means them here.
        return datetime.strptime(str(value), "%Y-%m-%d").date()  # noqa: DTZ007
    except ValueError:
        faults.append(Fault("/on", "must be a day such as 2025-10-01"))
        return None
