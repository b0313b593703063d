"""How proofs of the ledger's tree go over the wire."""

import base64
from collections.abc import Iterable
from typing import Annotated

from twoturns.store.ledger import Place
from twoturns.web.answers import Answer


def in_base64(nodes: Iterable[bytes]) -> list[str]:
    return [base64.b64encode(node).decode() for node in nodes]


_DESCRIPTION = "Leads from {} to the checkpoint's root (formats.md, section 5). In base64."


def leads_from(covered: str) -> str:
    """Say what a proof by `Tree.inclusion_of` proves, of several records at once."""
    return _DESCRIPTION.format(covered)


class PlaceAnswer(Answer):
    """Where one record stands, and a checkpoint that covers it."""

    index: int
    record: str
    checkpoint: str
    proof: Annotated[list[str], leads_from("the record")]


def shown(place: Place) -> dict[str, object]:
    """Return where one record stands, as a `PlaceAnswer`."""
    return {
        "index": place.index,
        "record": place.record,
        "checkpoint": place.checkpoint,
        "proof": in_base64(place.proof),
    }
