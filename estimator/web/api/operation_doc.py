"""The published interface of an operation: what may be sent, and everything it may answer."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from apispec import APISpec
from marshmallow import fields

from estimator.web.api.problem_schema import ProblemSchema

if TYPE_CHECKING:
    from estimator.web.api.operation import Operation

# As web.problem has it, which imports what is here.
PROBLEM_JSON = "application/problem+json"
_MEANINGS = {
    400: "The body is not JSON, or a header cannot be read",
    401: "Nobody is signed in, or the token is not valid",
    403: "The role does not allow it",
    404: "There is no such thing in this organisation",
    409: "It contradicts what is stored, or the Idempotency-Key was used for another request",
    412: "It was changed since it was read",
    413: "The body is too large",
    415: "The body is not of a media type that is read here",
    422: "What was sent cannot be used; every fault is listed",
    428: "If-Match is missing",
    429: "Too many requests; try again later",
    500: "Something went wrong on our side",
    503: "The database cannot be reached or is busy; try again later",
    507: "There is no room left; nothing was kept",
}
IF_MATCH = {
    "in": "header",
    "name": "If-Match",
    "required": True,
    "description": "the ETag as it was read, or *",
    "schema": {"type": "string"},
    "example": '"1"',
}
_NAME = "Problem{}"
_IF_NONE_MATCH = {
    "in": "header",
    "name": "If-None-Match",
    "required": False,
    "description": "the ETag of what is known already",
    "schema": {"type": "string"},
}
_KEY = {
    "in": "header",
    "name": "Idempotency-Key",
    "required": False,
    "description": "the same key is answered the same, for 24 hours, without doing it twice",
    "schema": {"type": "string", "minLength": 1, "maxLength": 255, "pattern": "^[!-~]+$"},
    "example": "8b9a7c1e-0d53-4c8c-9a3b-1f2e3d4c5b6a",
}
_BINARY = {"type": "string", "format": "binary"}
# What a browser's form sends, and what it may tell of the file's columns.
_UPLOAD = {
    "multipart/form-data": {
        "type": "object",
        "properties": {"file": _BINARY, "mapping": {"type": "string"}},
        "required": ["file"],
    }
}


@dataclass(frozen=True, slots=True)
class Documented:
    """What is told beside what the operation itself says.

    meaning: of the answer. example: of the body. media: of an answer that is no JSON.
    problems: further statuses, with their meanings. instead: another status that is no problem,
    answered likewise. parameters: of the address, in OpenAPI.
    """

    meaning: str = "Done"
    example: Any = None
    media: str | tuple[str, ...] = ()
    problems: Mapping[int, str] = field(default_factory=dict)
    instead: Mapping[int, str] = field(default_factory=dict)
    parameters: tuple[Mapping[str, Any], ...] = ()


def documentation(how: "Operation", prefix: str, name: str, told: Documented) -> dict[str, Any]:
    """What flask-smorest is to write of an operation. prefix: of its address."""
    parameters: list[Any] = list(told.parameters)
    if how.query is not None:
        parameters.append({"in": "query", "schema": how.query})
    if how.if_match:
        parameters.append(IF_MATCH)
    if how.repeatable:
        parameters.append(_KEY)
    if how.method == "GET":
        parameters.append(_IF_NONE_MATCH)
    doc: dict[str, Any] = {
        "operationId": name,
        "parameters": parameters,
        "responses": {**_answer(how, told), **_problems(how, prefix + how.rule, told)},
    }
    if how.body is not None:
        content: dict[str, Any] = {"schema": how.body}
        if told.example is not None:
            content["example"] = told.example
        doc["requestBody"] = {"required": True, "content": {"application/json": content}}
    elif how.uploads:
        content = {media: {"schema": _UPLOAD.get(media, _BINARY)} for media in how.uploads}
        doc["requestBody"] = {"required": True, "content": content}
    return doc


def add_problem_answers(spec: APISpec) -> None:
    """Tell each kind of problem once; operations then name it."""
    for status, meaning in _MEANINGS.items():
        spec.components.response(_NAME.format(status), problem_answer(meaning))


def problem_answer(meaning: str) -> dict[str, Any]:
    """A problem as an answer in the published interface."""
    return {"description": meaning, "content": {PROBLEM_JSON: {"schema": ProblemSchema}}}


def _answer(how: "Operation", told: Documented) -> dict[str, Any]:
    answer: dict[str, Any] = {"description": told.meaning}
    media = (told.media,) if isinstance(told.media, str) else told.media
    if media:
        answer["content"] = {each: {"schema": _BINARY} for each in media}
    elif how.answer is not None:
        answer["content"] = {"application/json": {"schema": how.answer}}
    if "content" in answer:
        answer["headers"] = {"ETag": {"schema": {"type": "string"}}}
    answers = {str(how.status): answer}
    for status, meaning in told.instead.items():
        answers[str(status)] = {**answer, "description": meaning}
    if how.status == 201:
        answer["headers"]["Location"] = {"schema": {"type": "string", "format": "uri-reference"}}
    if how.method == "GET":
        answers["304"] = {"description": "Unchanged since the ETag that was sent along"}
    return answers


def _names_something(how: "Operation") -> bool:
    """Whether an identifier may stand behind the question mark."""
    if how.query is None:
        return False
    return any(isinstance(field, fields.UUID) for field in how.query().load_fields.values())


def _problems(how: "Operation", address: str, told: Documented) -> dict[str, Any]:
    statuses = {422, 429, 500, 503} | (set() if how.public else {401, 403})
    if "<" in address or _names_something(how):
        statuses.add(404)
    if how.changes:
        statuses |= {409, 507}
    if how.body is not None or how.uploads:
        statuses |= {404, 413, 415}
    if how.body is not None or how.method == "POST" or how.if_match:
        statuses.add(400)
    if how.if_match:
        statuses |= {412, 428}
    answers: dict[str, Any] = {str(status): _NAME.format(status) for status in statuses}
    answers |= {str(status): problem_answer(what) for status, what in told.problems.items()}
    return dict(sorted(answers.items()))
