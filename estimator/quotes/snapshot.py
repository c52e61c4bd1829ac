"""Make a revision from a job and its result, and tell what keeps it from being sent."""

import hashlib
import json
from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal

from estimator.quotes.basis import basis_document
from estimator.quotes.records import Basis, Json, Shortcoming, ShortcomingKind, Snapshot
from estimator.quotes.states import NotAllowed


def make_snapshot(
    job: Json,
    result: Json,
    basis: Basis,
    valid_until: date,
    stated: Sequence[ShortcomingKind] = (),
    asked: Json | None = None,
) -> Snapshot:
    """A revision of a job's description and the result document computed from it.

    stated: kinds of shortcoming that the document states. asked: what else was asked for, so
    that it can be computed once more. Raises KeyError for a result that is not one.
    """
    price = result["price"]
    content = {
        "job": job,
        "result": result,
        "basis": basis_document(basis),
        "valid_until": valid_until.isoformat(),
        "stated": list(stated),
        "asked": dict(asked or {}),
    }
    text = json.dumps(content, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    return Snapshot(
        text=text,
        digest=text_digest(text),
        basis=basis,
        currency=price["currency"],
        total=Decimal(price["totals"]["total"]),
        complete=price["complete"],
        valid_until=valid_until,
        shortcomings=tuple(shortcomings(result)),
        stated=tuple(dict.fromkeys(stated)),
    )


def text_digest(text: str) -> str:
    """SHA-256 of a text in UTF-8."""
    return hashlib.sha256(text.encode()).hexdigest()


def shortcomings(result: Json) -> Iterator[Shortcoming]:
    """What a customer must not be sent without being told: errors, guesses, missing prices."""
    for at, finding in enumerate(result["estimate"]["findings"]):
        if finding["severity"] == "error":
            yield Shortcoming("error_finding", finding["message"], f"/estimate/findings/{at}")
    for at, line in enumerate(result["price"]["lines"]):
        where = f"/price/lines/{at}"
        if line["match"] == "proposed":
            message = (
                f"{line['description']} is priced from item {line['item']}, which nobody "
                "has confirmed."
            )
            yield Shortcoming("proposed_match", message, where)
        elif line["match"] == "unpriced":
            yield Shortcoming("unpriced_part", f"{line['description']} has no price.", where)


def check_sending(
    found: Sequence[Shortcoming], stated: Sequence[str], valid_until: date, today: date
) -> None:
    """Raises NotAllowed, naming every shortcoming that is not stated, or the date gone by."""
    faults = [each.message for each in found if each.kind not in stated]
    if valid_until < today:
        faults.append(f"It could be accepted until {valid_until} only, which is gone by.")
    if faults:
        raise NotAllowed(
            f"The quote cannot be sent: {' '.join(faults)} Correct this, or state it on the "
            "document where it is an error, an unconfirmed item or a missing price."
        )
