"""What is ordered erased, for owners: an order shows before it is carried out."""

from typing import get_args

from marshmallow import Schema, fields, validate

from twoturns.store import as_text
from twoturns.store.erasures import State, Told
from twoturns.web.access import now, principal, reads, store
from twoturns.web.api import Room

erasures = Room("erasures", "Orders to erase")

MOST_SETTLED = 100  # of those withdrawn or carried out; all that wait are told


class OrderRow(Schema):
    """An order. `left` of its `blobs` are still here and may be erased; a procedure never is."""

    order = fields.String(required=True)
    at = fields.String(required=True, metadata={"description": "When it was received."})
    person = fields.String(required=True)
    device = fields.String(required=True)
    reason = fields.String(required=True)
    basis = fields.String(required=True)
    due = fields.String(required=True, metadata={"description": "Carried out from then on."})
    state = fields.String(required=True, validate=validate.OneOf(get_args(State)))
    is_hastened = fields.Boolean(required=True)
    may_hasten = fields.Boolean(
        required=True, metadata={"description": "Whether this device may be the second voice."}
    )
    because = fields.String(
        required=True, allow_none=True, metadata={"description": "Of the withdrawal."}
    )
    blobs = fields.Integer(required=True)
    left = fields.Integer(required=True)
    jobs = fields.List(fields.String(), required=True)


class RuleRow(Schema):
    """How long an order waits, and how many blobs are erased in 24 hours at most."""

    delay_days = fields.Integer(required=True)
    blobs_a_day = fields.Integer(required=True)


class ComingRow(RuleRow):
    """A rule that was stated and has not begun."""

    rule = fields.String(required=True)
    begins = fields.String(required=True)


class ErasuresAnswer(Schema):
    """Orders, the newest first; the rule that holds for them, and those that have not begun."""

    orders = fields.List(fields.Nested(OrderRow), required=True)
    rule = fields.Nested(RuleRow, required=True)
    coming = fields.List(fields.Nested(ComingRow), required=True)


@erasures.route("/erasures", methods=["GET"])
@erasures.response(200, ErasuresAnswer)
@reads("owner")
def listed() -> dict[str, object]:
    """
    List the orders to erase, the newest first, and the rule that holds for them.

    All that wait, and the newest 100 of the others.
    """
    at = as_text(now())
    told = store().erasing.orders()
    settled = [one for one in told if one.state != "waits"][:MOST_SETTLED]
    rule, stated = store().erasing.rules(now())
    is_second = store().erasing.is_second_voice(principal().device, now())
    return {
        "orders": [_row(one, is_second) for one in told if one.state == "waits" or one in settled],
        "rule": {"delay_days": rule.delay_days, "blobs_a_day": rule.blobs_a_day},
        "coming": [
            {
                "rule": name,
                "begins": one.begins,
                "delay_days": one.rule.delay_days,
                "blobs_a_day": one.rule.blobs_a_day,
            }
            for name, one in stated
            if one.begins > at and one.withdrawn is None
        ],
    }


def _row(told: Told, is_second: bool) -> dict[str, object]:
    row = told.row
    is_another = row["person"] != principal().person and row["device"] != principal().device
    return {
        "order": row["id"],
        "at": row["received"],
        **{name: row[name] for name in ("person", "device", "reason", "basis", "due")},
        "state": told.state,
        "is_hastened": told.is_hastened,
        "may_hasten": told.state == "waits" and is_second and is_another,
        "because": told.because,
        "blobs": len(told.blobs),
        "left": len(told.left),
        "jobs": told.jobs,
    }
