"""What suppliers ask beside their prices, by currency."""

from decimal import Decimal
from typing import Any
from uuid import UUID

from flask import request
from flask_smorest import Blueprint
from marshmallow import Schema, fields
from werkzeug.exceptions import NotFound

from estimator.catalogue.records import SupplierTerms
from estimator.job.number_fields import DecimalText
from estimator.job.told import Told
from estimator.job.validators import Within
from estimator.store.audit import note
from estimator.store.scope import remove
from estimator.store.suppliers import find_supplier, keep_terms
from estimator.store.tables.suppliers import SupplierTermsRow
from estimator.web.api.conditions import check_new, read_condition
from estimator.web.api.field_kinds import amount, answered
from estimator.web.api.operation import Ask, Operation, Reply, operation
from estimator.web.api.operation_doc import IF_MATCH, Documented

supplier_terms = Blueprint(
    "supplier terms",
    __name__,
    url_prefix="/api/v1/suppliers/<uuid:supplier_id>/terms",
    description="Minimum orders and delivery fees, by currency",
)
_EXAMPLE = {"minimum_order": "150.00", "delivery_fee": "12.50", "free_delivery_from": "500"}
_MOST_MONEY = 10_000_000
_ONE = "/<string(length=3):currency>"


def _money(description: str, example: str, **more: Any) -> DecimalText:
    return DecimalText(
        places=2,
        validate=Within(0, _MOST_MONEY),
        metadata={"description": description, "example": example},
        **more,
    )


class TermsBody(Told):
    """What a supplier asks beside its prices."""

    minimum_order = _money("least worth of an order", "150.00", load_default=Decimal(0))
    delivery_fee = _money("for one delivery", "12.50", load_default=Decimal(0))
    free_delivery_from = _money(
        "worth from which delivery is free; null: never",
        "500.00",
        load_default=None,
        allow_none=True,
    )


class SupplierTermsSchema(Schema):
    """A supplier's terms in one currency."""

    currency = answered(fields.String, "three letters", "USD")
    minimum_order = amount("least worth of an order", "150.00")
    delivery_fee = amount("for one delivery", "12.50")
    free_delivery_from = amount("worth from which delivery is free", "500.00", nullable=True)
    version = answered(fields.Integer, "counts changes; the ETag", 1)


class SupplierTermsListSchema(Schema):
    """A supplier's terms in all currencies."""

    rows = fields.List(fields.Nested(SupplierTermsSchema), required=True)


@operation(supplier_terms, Operation("GET", "", SupplierTermsListSchema))
def list_terms(ask: Ask, supplier_id: UUID) -> Reply:
    """List a supplier's terms by currency"""
    find_supplier(ask.session, ask.scope, supplier_id)
    rows = ask.session.scalars(
        ask.scope.rows(SupplierTermsRow)
        .where(SupplierTermsRow.supplier_id == supplier_id)
        .order_by(SupplierTermsRow.currency)
    ).all()
    return Reply({"rows": rows})


@operation(supplier_terms, Operation("GET", _ONE, SupplierTermsSchema))
def show_terms(ask: Ask, supplier_id: UUID, currency: str) -> Reply:
    """Show a supplier's terms in one currency"""
    row = _terms(ask, supplier_id, currency)
    if row is None:
        raise NotFound(f"There are no terms in {currency}.")
    return Reply(row, row.version)


@operation(
    supplier_terms,
    Operation("PUT", _ONE, SupplierTermsSchema, body=TermsBody),
    documented=Documented(
        "The terms as they are now",
        _EXAMPLE,
        problems={
            412: "They were changed since they were read",
            428: "There are terms already and If-Match is missing",
        },
        parameters=({**IF_MATCH, "required": False},),
    ),
)
def replace_terms(ask: Ask, supplier_id: UUID, currency: str) -> Reply:
    """Set a supplier's terms in one currency; If-Match is needed where there are some already"""
    if not (currency.isascii() and currency.isalpha() and currency.isupper()):
        raise NotFound("A currency is three capital letters, such as USD.")
    there = _terms(ask, supplier_id, currency)
    if there is None:
        check_new(request)
    else:
        read_condition(request).version(there.version)
    row = keep_terms(
        ask.session, ask.scope, supplier_id, SupplierTerms("", currency=currency, **ask.body)
    )
    return Reply(row, row.version)


@operation(supplier_terms, Operation("DELETE", _ONE, None, 204, if_match=True))
def delete_terms(ask: Ask, supplier_id: UUID, currency: str) -> Reply:
    """Forget a supplier's terms in one currency"""
    row = _terms(ask, supplier_id, currency)
    if row is None:
        raise NotFound(f"There are no terms in {currency}.")
    ask.condition.version(row.version)
    remove(ask.session, ask.scope, row, used="")
    note(ask.session, ask.scope, "terms removed", "supplier", supplier_id, currency=currency)
    return Reply()


def _terms(ask: Ask, supplier_id: UUID, currency: str) -> SupplierTermsRow | None:
    find_supplier(ask.session, ask.scope, supplier_id)
    return ask.session.scalars(
        ask.scope.rows(SupplierTermsRow).where(
            SupplierTermsRow.supplier_id == supplier_id, SupplierTermsRow.currency == currency
        )
    ).first()
