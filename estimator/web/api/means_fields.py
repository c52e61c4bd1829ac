"""Fields with which a request says what of the organisation's own an estimate is made with."""

from collections.abc import Mapping
from typing import Any

from estimator.credits.programme_file import MOST_PROGRAMMES
from estimator.job.schema_fields import Day, Items, YesNo
from estimator.job.told import Told
from estimator.job.validators import Size
from estimator.stored.means import Wanted
from estimator.web.api.facts_field import Facts
from estimator.web.api.field_kinds import Identifier, optional_id

_MOST_CATALOGUES = 100


class MeansBody(Told):
    """What to compute with."""

    catalogue_versions = Items(
        Identifier(),
        size=Size(0, _MOST_CATALOGUES, "catalogue versions"),
        load_default=None,
        allow_none=True,
        metadata={"description": "identifiers of catalogue versions; left out: those in force"},
    )
    labour_table = optional_id("identifier of a labour table; its newest version is used")
    rate_sheet = optional_id("identifier of a rate sheet, put under the job's own terms and labour")
    programmes = Items(
        Identifier(),
        size=Size(0, MOST_PROGRAMMES, "programmes"),
        load_default=(),
        metadata={"description": "identifiers of credit programmes of one's own"},
    )
    programme_facts = Facts(
        load_default=dict,
        metadata={
            "description": "facts that programmes or the credit on panel work ask for",
            "example": {"household_income": "64000"},
        },
    )
    year_table = YesNo(
        load_default=False, metadata={"description": "add credits_by_year to the result"}
    )
    on = Day(load_default=None, metadata={"description": "compute as of this day; default today",
                                          "example": "2026-03-02"})  # fmt: skip


def wanted_of(body: Mapping[str, Any]) -> Wanted:
    """What a body of these fields asks for."""
    versions = body["catalogue_versions"]
    return Wanted(
        catalogue_versions=None if versions is None else tuple(versions),
        labour_table=_newest(body["labour_table"]),
        rate_sheet=_newest(body["rate_sheet"]),
        programmes=tuple((each, None) for each in body["programmes"]),
        programme_facts=tuple(body["programme_facts"].items()),
        year_table=body["year_table"],
    )


def _newest(identifier: Any) -> Any:
    return None if identifier is None else (identifier, None)
