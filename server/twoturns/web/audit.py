"""For the auditor and the owner: finding a job, and the tree's proofs."""

from typing import Any

from marshmallow import Schema, ValidationError, fields, validate, validates_schema

from twoturns.ledger import canonical, forms
from twoturns.web.access import principal, reads, scope, sees_field, store
from twoturns.web.api import Form, Room
from twoturns.web.limits import REQUESTS, limits
from twoturns.web.lists import NEXT, PageForm
from twoturns.web.origin import origin
from twoturns.web.problems import Refused
from twoturns.web.proofs import in_base64
from twoturns.web.seen import is_rewound
from twoturns.words import t
from twoturns.words.en.web import audit as words

audit = Room("audit", "Finding jobs, and proofs over the ledger")

FINDERS = ("vin", "plate", "lot", "tool")
SIZE = validate.Range(0, canonical.MAX_INTEGER)


class FindForm(PageForm):
    """One of the four, and which page."""

    vin = fields.String(validate=validate.Length(1, 64))
    plate = fields.String(validate=validate.Length(1, 64))
    lot = fields.String(validate=validate.Length(1, 64))
    tool = fields.String(validate=validate.Length(1, 64))
    after = fields.String(
        validate=validate.Regexp(rf"\A{forms.UUID7}\Z"),
        metadata={"description": "The `next` of a page before."},
    )

    @validates_schema
    def names_one(self, data: dict[str, Any], **_: object) -> None:
        if len(data.keys() & set(FINDERS)) != 1:
            raise ValidationError(t(words.NAME_ONE_KEY), "vin")


class FoundRow(Schema):
    """A job that was found. What this device may not read is null."""

    job = fields.String(required=True)
    engine_code = fields.String(required=True, allow_none=True)
    bay = fields.String(required=True, allow_none=True)
    odometer_km = fields.Integer(required=True, allow_none=True)
    vin = fields.String(required=True, allow_none=True)
    plate = fields.String(required=True, allow_none=True)
    last_received = fields.String(required=True)
    is_closed = fields.Boolean(required=True)


class FoundAnswer(Schema):
    """Jobs, the one begun last first."""

    jobs = fields.List(fields.Nested(FoundRow), required=True)
    next = NEXT


class CheckpointAnswer(Schema):
    """The signed head of the ledger. `rewound`: it never had the head the device has seen."""

    checkpoint = fields.String(required=True)
    rewound = fields.Boolean(required=True)


class ConsistencyForm(Form):
    """Two sizes of the ledger."""

    old = fields.Integer(required=True, data_key="from", validate=SIZE)
    new = fields.Integer(required=True, data_key="to", validate=SIZE)


class InclusionForm(Form):
    """A record, and the size of the ledger it is in."""

    index = fields.Integer(required=True, validate=SIZE)
    size = fields.Integer(required=True, validate=SIZE)


class ProofAnswer(Schema):
    """The path of a proof (RFC 6962)."""

    path = fields.List(fields.String(), required=True, metadata={"description": "In base64."})


VEHICLE = ("vin", "plate")


@audit.route("/find", methods=["POST"])
@audit.arguments(FindForm)
@audit.response(200, FoundAnswer)
@reads("owner", "auditor")
def find(form: dict[str, Any]) -> dict[str, object]:
    """
    Find jobs by VIN, plate, part's lot or tool, the newest first, page by page. Lot and tool in any
    spelling.

    A question in a body: an address is kept by proxies, in logs and in the browser's history.
    """
    key = next(name for name in FINDERS if name in form)
    if key in VEHICLE and not sees_field(key):
        raise Refused("not-found", t(words.MAY_NOT_ASK_BY, key=key))
    most, is_owner = form["most"], principal().role == "owner"
    page = {"after": form.get("after"), "most": most + 1, "hidden_too": is_owner}
    rows = store().views.find(key, form[key], scope(), **page)
    hidden = {name: None for name in VEHICLE if not sees_field(name)}
    return {
        "jobs": [{**row, **hidden, "is_closed": row["closed"] is not None} for row in rows[:most]],
        "next": rows[most - 1]["job"] if len(rows) > most else None,
    }


@audit.route("/checkpoint", methods=["GET"])
@audit.response(200, CheckpointAnswer)
@reads()
def head() -> dict[str, object]:
    """Return the signed head of the ledger."""
    checkpoint = store().ledger.checkpoint()
    return {"checkpoint": checkpoint, "rewound": is_rewound(checkpoint)}


@audit.route("/consistency", methods=["GET"])
@audit.arguments(ConsistencyForm, location="query")
@audit.response(200, ProofAnswer)
def consistency(form: dict[str, int]) -> dict[str, object]:
    """
    Prove that the ledger of one size is the start of that of another (RFC 6962).

    Open to who holds a bag and a checkpoint and has no device here: it is hashes alone.
    """
    limits().take(REQUESTS, origin())  # nobody is signed in who would pay for it
    with store().ledger.reading() as tree:
        return {"path": in_base64(tree.consistency(form["old"], form["new"]))}


@audit.route("/inclusion", methods=["GET"])
@audit.arguments(InclusionForm, location="query")
@audit.response(200, ProofAnswer)
@reads()
def inclusion(form: dict[str, int]) -> dict[str, object]:
    """Prove that the record at an index is in the ledger of a size (RFC 6962)."""
    with store().ledger.reading() as tree:
        return {"path": in_base64(tree.inclusion(form["index"], form["size"]))}
