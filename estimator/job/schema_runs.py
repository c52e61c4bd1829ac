"""Schema of a run: a length of raceway or cable between two boxes."""

from decimal import Decimal
from typing import Any, get_args

from estimator.job import records
from estimator.job.asked import about
from estimator.job.limits import AMBIENT_C, EXPOSURE, LENGTH_FT, MATERIAL, NODE, SURFACE
from estimator.job.number_fields import DecimalText, Whole
from estimator.job.schema_fields import Items, Word, YesNo
from estimator.job.service_cable import SERVICE_CABLE
from estimator.job.told import Told
from estimator.job.validators import Choice, Size, Within


class Bends(Items):
    """Bends of a run: their total, or each in order."""

    wanted = "a total in degrees, such as 180, or a list of bends, such as [90, 90]"

    def __init__(self, **kwargs: Any) -> None:
        inner = DecimalText(validate=Within(0, 360, "degrees", above=True))
        super().__init__(inner, size=Size(0, 100, "bends"), **kwargs)
        self.total = DecimalText(validate=Within(0, 7200, "degrees"))
        self.total.wanted = self.wanted

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> Any:
        if isinstance(value, list | tuple):
            return super()._deserialize(value, attr, data, **kwargs)
        if isinstance(value, bool) or not isinstance(value, int | float | str | Decimal):
            raise self.refuse(value)
        total = self.total.deserialize(value)
        return (total,) if total else ()

    def json_schema(self, known: dict[str, Any]) -> dict[str, Any]:
        """Either form."""
        a_list = {key: known.pop(key) for key in ("items", "minItems", "maxItems") if key in known}
        known.pop("type", None)
        total = {"type": ["number", "string"], "minimum": 0, "maximum": 7200}
        return {"anyOf": [total, {"type": "array", **a_list}]}


class RunSchema(Told):
    """A length of raceway or cable between two boxes."""

    from_ = Word(
        required=True,
        data_key="from",
        attribute="from",
        validate=NODE,
        metadata=about("starts at", "inlet"),
    )
    to = Word(required=True, validate=NODE, metadata=about("ends at", "transfer"))
    length_ft = DecimalText(
        required=True, validate=LENGTH_FT, metadata=about("length along the raceway [ft]", 18)
    )
    wiring_method = Word(
        validate=Choice((*get_args(records.WiringMethod), SERVICE_CABLE)),
        metadata=about("raceway or cable", "PVC-40"),
    )
    insulation = Word(
        validate=Choice(get_args(records.Insulation)),
        metadata=about("insulation of its conductors", "THHN/THWN-2"),
    )
    conductor_material = Word(validate=MATERIAL, metadata=about("metal of its conductors", "cu"))
    bends_deg = Bends(metadata=about("total of its bends, or each in order [degrees]", [90, 90]))
    exposure = Word(validate=EXPOSURE, metadata=about("dry, damp or wet place", "wet"))
    place = Word(
        validate=Choice(get_args(records.Place)), metadata=about("where it runs", "outdoor")
    )
    sun_exposed = YesNo(metadata=about("lies in the sun", True))
    surface = Word(validate=SURFACE, metadata=about("what it is fastened to", "brick"))
    ambient_c = DecimalText(validate=AMBIENT_C, metadata=about("hottest air around it [°C]", 38))
    temperature_change_c = DecimalText(
        validate=Within(0, 130, "°C"),
        metadata=about("change of temperature between its coldest and its hottest day [°C]", 40),
    )
    wall_penetrations = Whole(
        validate=Within(0, 20), metadata=about("walls that it goes through", 1)
    )
    depth_in = DecimalText(
        allow_none=True,
        validate=Within(0, 120, "in", above=True),
        metadata=about("underground only: depth of cover [in]", 24),
    )
    finished_wall = YesNo(metadata=about("runs in a finished wall", False))
