"""What was found damaged on the workshop's disk: told by name to owner and auditor."""

from typing import get_args

from marshmallow import Schema, fields, validate

from twoturns.store.blob_checks import Found
from twoturns.store.scrub import findings as found_in
from twoturns.web.access import reads, sight, store
from twoturns.web.api import Room

findings = Room("findings", "What was found altered or missing on the workshop's disk")

MOST_TOLD = 200
BAD = [found for found in get_args(Found) if found != "whole"]


class FindingRow(Schema):
    """A blob that is not what it should be. `job`, `step`, `name`: where its first entry has it."""

    blob = fields.String(required=True)
    found = fields.String(required=True, validate=validate.OneOf(BAD))
    found_at = fields.String(required=True)
    what = fields.String(required=True, metadata={"description": "What it is, in words."})
    job = fields.String(required=True, allow_none=True)
    step = fields.String(required=True, allow_none=True)
    name = fields.String(required=True, allow_none=True)


class FindingsAnswer(Schema):
    """What was found, the newest first."""

    findings = fields.List(
        fields.Nested(FindingRow), required=True, metadata={"description": "At most 200."}
    )
    all = fields.Integer(required=True, metadata={"description": "How many there are."})


@findings.route("/findings", methods=["GET"])
@findings.response(200, FindingsAnswer)
@reads("owner", "auditor")
def listed() -> dict[str, object]:
    """List what was found altered, missing, or no image of the kind it is called; newest first."""
    told, count = found_in(store(), MOST_TOLD, sight())
    if (limited := sight()) is not None:
        told = [one for one in told if store().views.has_blob(one.blob, limited)]
        count = len(told)
    return {
        "all": count,
        "findings": [
            {
                "blob": one.blob,
                "found": one.found,
                "found_at": one.found_at,
                "what": one.named.what,
                "job": one.named.job or None,
                "step": one.named.step or None,
                "name": one.named.name or None,
            }
            for one in told
        ],
    }
