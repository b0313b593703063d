"""What anyone may ask: which workshop this is; and the way in, with an invitation."""

from typing import Any

from flask import Response, jsonify
from marshmallow import Schema, fields

from twoturns import __version__
from twoturns.web.access import now, store
from twoturns.web.api import Form, Room
from twoturns.web.entries import RecordAnswer
from twoturns.web.proofs import in_base64, proof_field, shown
from twoturns.web.seen import is_rewound
from twoturns.web.session import signed_out

workshop = Room("workshop", "Which workshop this is, and the way in")


class WorkshopAnswer(Schema):
    workshop = fields.String(required=True, metadata={"description": "Compare it with the paper."})
    key = fields.String(required=True)
    name = fields.String(required=True)
    version = fields.String(required=True)


class KeysAnswer(Schema):
    """The statements that lead from the key on paper to the one that signs now, proven."""

    records = fields.List(fields.Nested(RecordAnswer), required=True)
    checkpoint = fields.String(required=True)
    proof = proof_field("all the records")


class EnrolForm(Form):
    line = fields.String(required=True, metadata={"description": "A `device.enrolled` entry."})


class EnrolAnswer(Schema):
    index = fields.Integer(required=True)
    record = fields.String(required=True)
    checkpoint = fields.String(required=True)
    proof = proof_field("the record")
    rewound = fields.Boolean(required=True)


@workshop.route("/workshop", methods=["GET"])
@workshop.response(200, WorkshopAnswer)
def about() -> dict[str, str]:
    """Say which workshop this is. Trust comes from the fingerprint on paper, not from this."""
    return {
        "workshop": store().ledger.workshop,
        "key": store().ledger.key,
        "name": store().name,
        "version": __version__,
    }


@workshop.route("/keys", methods=["GET"])
@workshop.response(200, KeysAnswer)
def keys() -> dict[str, Any]:
    """
    Tell how the workshop came to its key, for a phone that knows an earlier one.

    Trust comes from following it, link by link, from the fingerprint on paper.
    """
    chain = store().ledger.succession()
    return {
        "records": [{"index": index, "record": text} for index, text in chain.records],
        "checkpoint": chain.checkpoint,
        "proof": in_base64(chain.proof),
    }


@workshop.route("/enrol", methods=["POST"])
@workshop.arguments(EnrolForm)
@workshop.response(200, EnrolAnswer)
def enrol(form: dict[str, str]) -> Response:
    """
    Take a new device in. It signed the line, and the invitation's key countersigned it.

    Sent again by a phone that did not hear the answer, it earns the same index. A session that the
    phone had as another device ends: it signs in as who it is now.
    """
    place = store().ledger.enrol(form["line"], now())
    return signed_out(jsonify({**shown(place), "rewound": is_rewound(place.checkpoint)}))
