"""What every kind of job field has in common: how it asks and how it describes itself."""

from typing import Any

from marshmallow import ValidationError, fields

from estimator.job.faults import shown


def about(description: str, example: object) -> dict[str, object]:
    """What the published interface says about a field."""
    return {"description": description, "example": example}


class Asked(fields.Field[Any]):
    """Fields whose messages say what was read, what is wanted and an example."""

    wanted = "a value"

    def make_error(self, key: str, **kwargs: Any) -> ValidationError:
        """The fault of a missing or null value in words."""
        example = f"such as {self.metadata['example']}" if "example" in self.metadata else ""
        if key == "required":
            what = self.metadata.get("description", self.wanted)
            return ValidationError(f"is missing and needed: {what}" + (example and f", {example}"))
        if key == "null":
            what = f"a value {example}" if example else self.wanted
            return ValidationError(f"null cannot stand here; leave the field out, or give {what}")
        return self.refuse(kwargs.get("input"))

    def refuse(self, value: object) -> ValidationError:
        """The fault of a value of the wrong kind."""
        return ValidationError(f"read {shown(value)}; give {self.wanted}")

    def json_schema(self, known: dict[str, Any]) -> dict[str, Any]:
        """Properties for the published interface beside those of marshmallow's own kinds."""
        return {}


def field_to_property(converter: Any, field: Any, *, ret: dict[str, Any]) -> dict[str, Any]:
    """Attribute function for apispec: what the job's own kinds of field say of themselves."""
    return field.json_schema(ret) if isinstance(field, Asked) else {}
