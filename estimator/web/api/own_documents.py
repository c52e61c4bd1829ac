"""Documents of one's own: labour tables, rate sheets and credit programmes, version by version."""

from collections.abc import Callable, Mapping
from typing import Any
from uuid import UUID

from flask_smorest import Blueprint

from estimator import usecases
from estimator.finding import Fault, InputRefused
from estimator.store.audit import note
from estimator.store.own_documents import (
    add_own_document,
    find_own_document,
    find_own_version,
    save_own_document,
)
from estimator.store.scope import keep
from estimator.store.tables.own_documents import (
    DocumentKind,
    OwnDocumentRow,
    OwnDocumentVersionRow,
)
from estimator.stored.rate_sheet import read_rate_sheet
from estimator.web.api.listing import (
    ArchivedQuery,
    PageQuery,
    list_page,
    named_like,
    page_of,
    put_aside,
)
from estimator.web.api.operation import Ask, Operation, Reply, operation
from estimator.web.api.operation_doc import Documented
from estimator.web.api.own_document_schemas import (
    EXAMPLE,
    OwnContentBody,
    OwnDocumentBody,
    OwnDocumentSchema,
    OwnHeadBody,
    OwnVersionRowSchema,
    OwnVersionSchema,
)

own_documents = Blueprint(
    "own documents",
    __name__,
    url_prefix="/api/v1/own-documents",
    description="What an office lays down for its estimates: hours (labour-tables, CSV), terms "
    "and labour (rate-sheets, JSON), credit programmes (programmes, TOML)",
)
_KINDS: Mapping[str, DocumentKind] = {
    "labour-tables": "labour_table",
    "rate-sheets": "rate_sheet",
    "programmes": "programme",
}
_KIND = f"/<any({', '.join(map(repr, _KINDS))}):kind>"
_ONE = _KIND + "/<uuid:document_id>"
_VERSION = _ONE + "/versions/<int(min=1, max=999999999):number>"
_COLUMNS = {
    "name": OwnDocumentRow.name,
    "created_at": OwnDocumentRow.created_at,
    "changed_at": OwnDocumentRow.changed_at,
}
_VERSION_COLUMNS = {"number": OwnDocumentVersionRow.number}
_PARAMETER = {
    "in": "path",
    "name": "kind",
    "required": True,
    "schema": {"type": "string", "enum": list(_KINDS)},
}


def _documented(meaning: str, example: Any = None) -> Documented:
    return Documented(meaning, example, parameters=(_PARAMETER,))


@operation(
    own_documents,
    Operation("GET", _KIND, page_of(OwnDocumentSchema), query=ArchivedQuery),
    documented=_documented("A page of documents"),
)
def list_own_documents(ask: Ask, kind: str) -> Reply:
    """List documents of a kind"""
    return list_page(
        ask,
        OwnDocumentRow,
        _COLUMNS,
        "name",
        OwnDocumentRow.kind == _KINDS[kind],
        put_aside(OwnDocumentRow.archived_at, ask.query["archived"]),
        *named_like(ask.query["search"], OwnDocumentRow.name),
    )


@operation(
    own_documents,
    Operation("POST", _KIND, OwnDocumentSchema, 201, body=OwnDocumentBody),
    documented=_documented("The new document", EXAMPLE),
)
def create_own_document(ask: Ask, kind: str) -> Reply:
    """Add a document; it is read at once, and refused with every fault"""
    row = add_own_document(
        ask.session,
        ask.scope,
        _KINDS[kind],
        ask.body["name"],
        ask.body["content"],
        _check(_KINDS[kind], ask.body["name"]),
    )
    return Reply(row, row.version, f"/api/v1/own-documents/{kind}/{row.id}")


@operation(
    own_documents, Operation("GET", _ONE, OwnDocumentSchema), documented=_documented("The document")
)
def show_own_document(ask: Ask, kind: str, document_id: UUID) -> Reply:
    """Show a document; its content is in its versions"""
    row = find_own_document(ask.session, ask.scope, _KINDS[kind], document_id)
    return Reply(row, row.version)


@operation(
    own_documents,
    Operation("PUT", _ONE, OwnDocumentSchema, body=OwnHeadBody, if_match=True),
    documented=_documented("The document as it is now", {"name": "Our rates"}),
)
def replace_own_document(ask: Ask, kind: str, document_id: UUID) -> Reply:
    """Rename a document, or put it aside; revisions that rest on it keep it"""
    row = find_own_document(ask.session, ask.scope, _KINDS[kind], document_id)
    ask.condition.version(row.version)
    row.name, row.name_key = ask.body["name"], ask.body["name"].casefold()
    row.archived_at = (row.archived_at or ask.scope.at) if ask.body["archived"] else None
    keep(ask.session, ask.scope, row, taken="There is a document of this name already.")
    note(ask.session, ask.scope, "changed", row.kind, row.id)
    return Reply(row, row.version)


@operation(
    own_documents,
    Operation("PUT", _ONE + "/content", OwnDocumentSchema, body=OwnContentBody, if_match=True),
    documented=_documented("The document; newest is the number of the new version",
                           {"content": EXAMPLE["content"]}),
)  # fmt: skip
def save_own_content(ask: Ask, kind: str, document_id: UUID) -> Reply:
    """Save the next version; the same content again changes nothing"""
    row = find_own_document(ask.session, ask.scope, _KINDS[kind], document_id)
    row = save_own_document(
        ask.session,
        ask.scope,
        _KINDS[kind],
        document_id,
        ask.body["content"],
        _check(_KINDS[kind], row.name),
        ask.condition.version(row.version),
    )
    return Reply(row, row.version)


@operation(
    own_documents,
    Operation("GET", _ONE + "/versions", page_of(OwnVersionRowSchema), query=PageQuery),
    documented=_documented("A page of versions"),
)
def list_own_versions(ask: Ask, kind: str, document_id: UUID) -> Reply:
    """List the versions of a document, the newest first"""
    find_own_document(ask.session, ask.scope, _KINDS[kind], document_id)
    where = OwnDocumentVersionRow.document_id == document_id
    return list_page(ask, OwnDocumentVersionRow, _VERSION_COLUMNS, "-number", where)


@operation(
    own_documents,
    Operation("GET", _VERSION, OwnVersionSchema),
    documented=_documented("The version"),
)
def show_own_version(ask: Ask, kind: str, document_id: UUID, number: int) -> Reply:
    """Show a version with its content"""
    find_own_document(ask.session, ask.scope, _KINDS[kind], document_id)
    return Reply(find_own_version(ask.session, ask.scope, document_id, number))


def _check(kind: DocumentKind, called: str) -> Callable[[str], object]:
    """Reads a content of a kind; its faults stand below /content."""
    readers: Mapping[DocumentKind, Callable[[str], object]] = {
        "labour_table": lambda text: usecases.read_labour((called, text.encode())),
        "rate_sheet": lambda text: read_rate_sheet(text, called),
        "programme": lambda text: usecases.read_own_credits([(called, text.encode())]),
    }

    def check(text: str) -> object:
        try:
            return readers[kind](text)
        except InputRefused as refused:
            faults = [
                Fault(f"/content, {fault.where}" if fault.where else "/content", fault.message)
                for fault in refused.faults
            ]
            raise InputRefused(refused.what, tuple(faults)) from None

    return check
