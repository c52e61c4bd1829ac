"""What of an organisation's own an estimate is made with, and the basis that names it."""

from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

from sqlalchemy.orm import Session

import estimator
from estimator.quotes.basis import table_versions
from estimator.quotes.records import Basis, Used
from estimator.store.catalogues import find_catalogue, find_catalogue_version, versions_in_force
from estimator.store.own_documents import find_own_document, find_own_version
from estimator.store.scope import Scope
from estimator.store.tables.catalogues import CatalogueVersionRow
from estimator.store.tables.own_documents import DocumentKind

# A document and the number of its version; None for the newest.
Pick = tuple[UUID, int | None]


@dataclass(frozen=True, slots=True)
class Wanted:
    """What to compute with. catalogue_versions: None for those in force.

    programme_facts: (name, value) texts that programmes ask for. year_table: with the credits
    year by year.
    """

    catalogue_versions: tuple[UUID, ...] | None = None
    labour_table: Pick | None = None
    rate_sheet: Pick | None = None
    programmes: tuple[Pick, ...] = ()
    programme_facts: tuple[tuple[str, str], ...] = ()
    year_table: bool = False


@dataclass(frozen=True, slots=True)
class OwnText:
    """One version of a document of one's own."""

    used: Used
    text: str


@dataclass(frozen=True, slots=True)
class Means:
    """What is computed with, found."""

    catalogues: tuple[CatalogueVersionRow, ...]
    labour_table: OwnText | None
    rate_sheet: OwnText | None
    programmes: tuple[OwnText, ...]
    basis: Basis


def find_means(session: Session, scope: Scope, wanted: Wanted, job: Used | None) -> Means:
    """Everything that is wanted. Raises NotFound."""
    versions: Sequence[CatalogueVersionRow]
    if wanted.catalogue_versions is None:
        versions = versions_in_force(session, scope)
    else:
        versions = [
            find_catalogue_version(session, scope, each)
            for each in dict.fromkeys(wanted.catalogue_versions)
        ]
    labour = _own(session, scope, "labour_table", wanted.labour_table)
    rates = _own(session, scope, "rate_sheet", wanted.rate_sheet)
    programmes = tuple(
        found
        for each in wanted.programmes
        if (found := _own(session, scope, "programme", each)) is not None
    )
    basis = Basis(
        program=estimator.__version__,
        tables=table_versions(),
        catalogues=tuple(_catalogue(session, scope, each) for each in versions),
        labour_table=None if labour is None else labour.used,
        rate_sheet=None if rates is None else rates.used,
        programmes=tuple(each.used for each in programmes),
        job=job,
    )
    return Means(tuple(versions), labour, rates, programmes, basis)


def wanted_again(
    basis: Basis, facts: tuple[tuple[str, str], ...], *, year_table: bool, newest: bool
) -> Wanted:
    """What a revision was computed with. newest: in the versions that count now instead."""

    def pick(used: Used) -> Pick:
        return UUID(used.id), None if newest else used.version

    def maybe(used: Used | None) -> Pick | None:
        return None if used is None else pick(used)

    return Wanted(
        catalogue_versions=None if newest else tuple(UUID(each.id) for each in basis.catalogues),
        labour_table=maybe(basis.labour_table),
        rate_sheet=maybe(basis.rate_sheet),
        programmes=tuple(pick(each) for each in basis.programmes),
        programme_facts=facts,
        year_table=year_table,
    )


def _catalogue(session: Session, scope: Scope, version: CatalogueVersionRow) -> Used:
    name = find_catalogue(session, scope, version.catalogue_id).name
    return Used(str(version.id), name, version.number, version.digest)


def _own(session: Session, scope: Scope, kind: DocumentKind, pick: Pick | None) -> OwnText | None:
    if pick is None:
        return None
    row = find_own_document(session, scope, kind, pick[0])
    version = find_own_version(session, scope, row.id, pick[1] or row.newest)
    return OwnText(Used(str(row.id), row.name, version.number, version.digest), version.content)
