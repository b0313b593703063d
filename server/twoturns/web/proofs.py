"""How proofs of the ledger's tree go over the wire."""

import base64
from collections.abc import Iterable
from typing import Any

from marshmallow import Schema, fields

from twoturns.store.ledger import Place


def in_base64(nodes: Iterable[bytes]) -> list[str]:
    return [base64.b64encode(node).decode() for node in nodes]


def proof_field(covered: str, **more: Any) -> "fields.List[str]":
    """Return the field of a proof by `Tree.inclusion_of` for several records at once."""
    description = (
        f"Leads from {covered} to the checkpoint's root (formats.md, section 5). In base64."
    )
    return fields.List(
        fields.String(), required=True, metadata={"description": description}, **more
    )


class PlaceAnswer(Schema):
    """Where one record stands, and a checkpoint that covers it."""

    index = fields.Integer(required=True)
    record = fields.String(required=True)
    checkpoint = fields.String(required=True)
    proof = proof_field("the record")


def shown(place: Place) -> dict[str, object]:
    """Return where one record stands, as a `PlaceAnswer`."""
    return {
        "index": place.index,
        "record": place.record,
        "checkpoint": place.checkpoint,
        "proof": in_base64(place.proof),
    }
