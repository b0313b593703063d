"""What anyone may ask: which workshop this is; and the way in, with an invitation."""

from typing import Annotated, Any

from flask import Response, jsonify
from marshmallow import fields, post_load, validate

from twoturns import __version__
from twoturns.ledger import note
from twoturns.ledger.receipt import ProvenRecord, Receipt
from twoturns.store.enrolment import let_in
from twoturns.web.access import now, store
from twoturns.web.answers import Answer, MayLack
from twoturns.web.api import Form, Room
from twoturns.web.entries import RecordAnswer
from twoturns.web.proofs import PlaceAnswer, in_base64, leads_from, shown
from twoturns.web.seen import is_rewound
from twoturns.web.session import signed_out

MOST_NODES = 64  # of a proof: a tree of more levels nobody has

workshop = Room("workshop", "Which workshop this is, and the way in")


class WorkshopAnswer(Answer):
    """Which workshop this is: its id, the key that signs for it now, its name, its program."""

    workshop: Annotated[str, "Compare it with the paper."]
    key: str
    name: str
    version: str


class KeysAnswer(Answer):
    """The statements that lead from the key on paper to the one that signs now, proven."""

    records: list[RecordAnswer]
    checkpoint: str
    proof: Annotated[list[str], leads_from("all the records")]


class ProvenRecordForm(Form):
    """A record, and its proof."""

    index = fields.Integer(required=True, strict=True)
    record = fields.String(required=True)
    proof = fields.List(
        fields.String(),
        required=True,
        validate=validate.Length(max=MOST_NODES),
        metadata={"description": leads_from("the record")},
    )

    @post_load
    def read(self, said: dict[str, Any], **_: object) -> ProvenRecord:
        nodes = tuple(note.decoded(node) for node in said["proof"])
        return ProvenRecord(said["index"], said["record"], nodes)


class ReceiptForm(Form):
    """
    What this route answered before the workshop was put back: it lets the device in again.

    Both records with a proof of their own to the one checkpoint (formats.md, section 5, Receipt of
    an enrolment).
    """

    checkpoint = fields.String(required=True)
    invitation = fields.Nested(ProvenRecordForm, required=True)
    enrolment = fields.Nested(ProvenRecordForm, required=True)

    @post_load
    def read(self, said: dict[str, Any], **_: object) -> Receipt:
        return Receipt(**said)


class EnrolForm(Form):
    """An enrolment; with its receipt where the workshop was put back."""

    line = fields.String(required=True, metadata={"description": "A `device.enrolled` entry."})
    receipt = fields.Nested(ReceiptForm, load_default=None)


class ProvenRecordAnswer(RecordAnswer):
    """The invitation; its proof leads to the checkpoint of the enrolment."""

    proof: Annotated[list[str], leads_from("the record")]


class EnrolAnswer(PlaceAnswer):
    """Where the enrolment stands, proven, and the invitation that it follows from."""

    invitation: MayLack[Annotated[ProvenRecordAnswer, "An older workshop says nothing of it."]]
    rewound: bool


@workshop.gives("/workshop", WorkshopAnswer)
def about() -> dict[str, str]:
    """Say which workshop this is. Trust comes from the fingerprint on paper, not from this."""
    return {
        "workshop": store().ledger.workshop,
        "key": store().ledger.key,
        "name": store().name,
        "version": __version__,
    }


@workshop.gives("/keys", KeysAnswer)
def keys() -> dict[str, object]:
    """
    Tell how the workshop came to its key, for a phone that knows an earlier one.

    Trust comes from following it, link by link, from the fingerprint on paper (formats.md, section
    4, Succession).
    """
    chain = store().ledger.succession()
    return {
        "records": [{"index": index, "record": text} for index, text in chain.records],
        "checkpoint": chain.checkpoint,
        "proof": in_base64(chain.proof),
    }


@workshop.takes("/enrol", EnrolForm, EnrolAnswer)
def enrol(form: dict[str, Any]) -> Response:
    """
    Take a new device in. It signed the line, and the invitation's key countersigned it.

    Sent again by a phone that did not hear the answer, it earns the same index. A session that the
    phone had as another device ends: it signs in as who it is now.

    A workshop that was put back may have lost invitation and enrolment. With the `receipt`, which
    is made of what was answered here before, both come back, also when the invitation is over.
    """
    enrolled = let_in(store(), form["line"], now(), form["receipt"])
    place, invitation = enrolled.enrolment, shown(enrolled.invitation)
    del invitation["checkpoint"]  # it is the same
    rewound = is_rewound(place.checkpoint)
    return signed_out(jsonify({**shown(place), "invitation": invitation, "rewound": rewound}))
