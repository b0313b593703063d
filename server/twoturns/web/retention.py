"""Which jobs are kept longer than an owner said, for owners: nothing is erased by that."""

from typing import Any

from marshmallow import fields

from twoturns.store.retention import FROM_THE_START, days_kept, kept_too_long
from twoturns.web.access import now, reads, store
from twoturns.web.answers import Answer
from twoturns.web.api import Room
from twoturns.web.lists import PLACE, Next, PageForm, page_of, place_in, place_of

retention = Room("retention", "Jobs that are kept longer than was said")


class RetentionForm(PageForm):
    """A page of them."""

    after = fields.String(validate=PLACE, metadata={"description": "Where the page before ended."})


class KeptRow(Answer):
    """A job, and when something of it was received last."""

    job: str
    plate: str | None
    last_received: str


class RetentionAnswer(Answer):
    """`days` as was said last (null: nobody said it), and the jobs kept longer, longest first."""

    days: int | None
    jobs: list[KeptRow]
    next: Next


@retention.gives("/retention", RetentionAnswer, asked=RetentionForm)
@reads("owner")
def listed(form: dict[str, Any]) -> dict[str, object]:
    """List the jobs that still name a vehicle or customer after the days that an owner said."""
    most = form["most"]
    rows = kept_too_long(store(), now(), place_in(form, FROM_THE_START), most + 1)
    page, following = page_of(rows, most, place_of)
    told = [{name: row[name] for name in ("job", "plate", "last_received")} for row in page]
    return {"days": days_kept(store()), "jobs": told, "next": following}
