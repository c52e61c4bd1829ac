"""Every resource that is kept, in the order in which a reader meets them."""

from flask_smorest import Blueprint

from estimator.web.api.audit import audit
from estimator.web.api.catalogue_versions import catalogue_versions
from estimator.web.api.catalogues import catalogues
from estimator.web.api.confirmed_matches import confirmed_matches
from estimator.web.api.customer_links import customer_links
from estimator.web.api.customers import customers
from estimator.web.api.items import items
from estimator.web.api.job_versions import job_versions
from estimator.web.api.jobs import jobs
from estimator.web.api.own_documents import own_documents
from estimator.web.api.part_kinds import part_kinds
from estimator.web.api.public_links import public_links
from estimator.web.api.quote_revisions import quote_revisions
from estimator.web.api.quote_steps import quote_steps
from estimator.web.api.quotes import quotes
from estimator.web.api.supplier_terms import supplier_terms
from estimator.web.api.suppliers import suppliers

STORED: tuple[Blueprint, ...] = (
    customers,
    jobs,
    job_versions,
    suppliers,
    supplier_terms,
    catalogues,
    catalogue_versions,
    items,
    confirmed_matches,
    part_kinds,
    quotes,
    quote_revisions,
    quote_steps,
    customer_links,
    public_links,
    own_documents,
    audit,
)
