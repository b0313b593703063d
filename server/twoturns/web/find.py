"""Finding a job, for the auditor and the owner: each as the lists of the desk have it."""

from operator import itemgetter
from typing import Any

from marshmallow import ValidationError, fields, validate, validates_schema

from twoturns.ledger import forms
from twoturns.store.job_lines import lines
from twoturns.web.access import principal, reads, scope, sees_field, store
from twoturns.web.api import Room
from twoturns.web.audit import VEHICLE, found_row
from twoturns.web.desk import JobsAnswer
from twoturns.web.lists import PageForm, page_of
from twoturns.web.problems import Refused
from twoturns.words import t
from twoturns.words.en.web import find as words

finding_jobs = Room("find", "Finding jobs")

FINDERS = ("vin", "plate", "lot", "tool", "code")


class FindForm(PageForm):
    """One of the five, and which page."""

    vin = fields.String(validate=validate.Length(1, 64))
    plate = fields.String(validate=validate.Length(1, 64))
    lot = fields.String(validate=validate.Length(1, 64))
    tool = fields.String(validate=validate.Length(1, 64))
    code = fields.String(
        validate=validate.Length(1, 64),
        metadata={"description": "As it stands on a sticker: the end of a job's id."},
    )
    after = fields.String(
        validate=validate.Regexp(rf"\A{forms.UUID7}\Z"),
        metadata={"description": "The `next` of a page before."},
    )

    @validates_schema
    def names_one(self, data: dict[str, Any], **_: object) -> None:
        if len(data.keys() & set(FINDERS)) != 1:
            raise ValidationError(t(words.NAME_ONE_KEY), "vin")


@finding_jobs.takes("/find", FindForm, JobsAnswer)
@reads("owner", "auditor")
def find(form: dict[str, Any]) -> dict[str, object]:
    """
    Find jobs by VIN, plate, part's lot, tool or code, the newest first, page by page. Lot and tool
    in any spelling.

    A question in a body: an address is kept by proxies, in logs and in the browser's history.
    """
    key = next(name for name in FINDERS if name in form)
    if key in VEHICLE and not sees_field(key):
        raise Refused("not-found", t(words.MAY_NOT_ASK_BY, key=key))
    most, is_owner = form["most"], principal().role == "owner"
    page = {"after": form.get("after"), "most": most + 1, "hidden_too": is_owner}
    found = store().views.find(key, form[key], scope(), **page)
    rows, following = page_of(found, most, itemgetter("job"))
    return {"jobs": [found_row(row) for row in lines(store(), rows)], "next": following}
