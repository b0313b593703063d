"""The owner's desk."""

from datetime import timedelta
from typing import Any

from marshmallow import Schema, fields, validate

from twoturns.ledger import canonical
from twoturns.store import as_text
from twoturns.store.desk import desk as lines_of
from twoturns.store.desk_order import FIRST
from twoturns.web.access import now, reads, store
from twoturns.web.api import Room
from twoturns.web.audit import FoundRow
from twoturns.web.lists import NEXT, PLACE, PageForm, next_of, place_in
from twoturns.web.seen import is_rewound

desk = Room("desk", "The owner's desk")

SETTLED_SHOWN_FOR = timedelta(days=90)


class NoticeRow(Schema):
    """What the workshop stated that speaks against a job."""

    code = fields.String(
        required=True,
        metadata={
            "description": "closed-against-recall, approved-against-recall, lot-recalled, "
            "bundle-withdrawn, bundle-not-published, tool-not-calibrated or shown-before"
        },
    )
    message = fields.String(required=True)
    lot = fields.String(
        required=True,
        allow_none=True,
        metadata={"description": "Of a recall, as it writes it; else null."},
    )


class DeskRow(Schema):
    """A job in a line. `vehicle` is null when the job's procedure is not here to fold it by."""

    job = fields.String(required=True)
    bundle = fields.String(required=True, allow_none=True)
    vehicle = fields.String(required=True, allow_none=True)
    engine_code = fields.String(required=True, allow_none=True)
    bay = fields.String(required=True, allow_none=True)
    odometer_km = fields.Integer(required=True, allow_none=True)
    vin = fields.String(required=True, allow_none=True)
    plate = fields.String(required=True, allow_none=True)
    state = fields.String(
        required=True,
        validate=validate.OneOf(["open", "closed", "approved", "changed"]),
        metadata={"description": "changed: approved, then changed"},
    )
    exceptions = fields.Integer(required=True)
    worst = fields.String(required=True, allow_none=True)
    codes = fields.List(fields.String(), required=True, metadata={"description": "Worst first."})
    questions = fields.Integer(required=True, metadata={"description": "Not answered yet."})
    done = fields.Integer(required=True, metadata={"description": "Must-steps not to do."})
    steps = fields.Integer(required=True, metadata={"description": "Must-steps."})
    entries = fields.Integer(required=True)
    last_received = fields.String(required=True)
    notices = fields.List(fields.Nested(NoticeRow), required=True)


class DeskForm(PageForm):
    after = fields.String(validate=PLACE, metadata={"description": "The `next` of a page before."})


class DeskAnswer(Schema):
    """`backed_up` of `size` records are covered by a backup."""

    jobs = fields.List(fields.Nested(DeskRow), required=True)
    next = NEXT
    size = fields.Integer(required=True)
    backed_up = fields.Integer(required=True)
    rewound = fields.Boolean(required=True)


class JobsAnswer(Schema):
    """Jobs, the one heard of last first."""

    jobs = fields.List(fields.Nested(FoundRow), required=True)
    next = NEXT


@desk.route("/desk", methods=["GET"])
@desk.arguments(DeskForm, location="query")
@desk.response(200, DeskAnswer)
@reads("owner")
def look(form: dict[str, Any]) -> dict[str, object]:
    """
    List the jobs, what needs eyes first, page by page.

    First jobs finished or approved against a recall; approved and then changed; recalls and other
    notices; exceptions, the worst first, and open questions; jobs to approve; open ones. Settled
    ones are shown for 90 days, those that a recall or a withdrawal speaks against for ever.
    """
    after, most = place_in(form, FIRST), form["most"]
    lines = lines_of(store(), as_text(now() - SETTLED_SHOWN_FOR), after, most + 1)
    return {
        "jobs": [line for _, line in lines[:most]],
        "next": next_of([place for place, _ in lines], most),
        "size": store().ledger.size(),
        "backed_up": store().views.backed_up(as_text(now())),
        "rewound": is_rewound(),
    }


@desk.route("/jobs", methods=["GET"])
@desk.arguments(DeskForm, location="query")
@desk.response(200, JobsAnswer)
@reads("owner")
def jobs(form: dict[str, Any]) -> dict[str, object]:
    """List all jobs, the one heard of last first, page by page."""
    before, most = place_in(form, (canonical.MAX_INTEGER, "")), form["most"]
    rows = store().views.newest_jobs(before, most + 1)
    return {
        "jobs": [{**row, "is_closed": row["closed"] is not None} for row in rows[:most]],
        "next": next_of([(row["last_index"], row["job"]) for row in rows], most),
    }
