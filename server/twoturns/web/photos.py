"""Photos across jobs, for the auditor and the owner: listed by what is asked of them."""

from typing import Annotated, Any, Literal, get_args

from marshmallow import fields, validate

from twoturns.ledger import canonical, forms
from twoturns.ledger.standing import Standing
from twoturns.store.photo_rows import Found, find
from twoturns.web.access import principal, reads, scope, sees_field, store
from twoturns.web.answers import Answer
from twoturns.web.api import Room
from twoturns.web.lists import Next, PageForm, page_of

photos = Room("photos", "Photos across jobs")

_DAY = validate.Regexp(rf"\A{forms.DATE}\Z")
_TENTHS = validate.Range(0, canonical.MAX_INTEGER)


class PhotosForm(PageForm):
    """What photos are asked for, of those in the asker's scope; what is absent is not asked."""

    step = fields.String(validate=validate.Regexp(rf"\A{forms.NAME}\Z"))
    person = fields.String(validate=validate.Length(1, 64))
    bundle = fields.String(
        validate=validate.Regexp(rf"\A{forms.SHA256}\Z"),
        metadata={"description": "The edition of a procedure that the job went by."},
    )
    engine_code = fields.String(validate=validate.Length(1, 64))
    standing = fields.String(validate=validate.OneOf(get_args(Standing)))
    sharp_from = fields.Integer(
        strict=True,
        validate=_TENTHS,
        metadata={"description": "Judged as sharp as this, in tenths, or sharper."},
    )
    sharp_below = fields.Integer(strict=True, validate=_TENTHS)
    is_unjudged = fields.Boolean(
        validate=validate.Equal(True), metadata={"description": "Those that no phone judged."}
    )
    since = fields.String(
        validate=_DAY,
        metadata={"description": "Received on this day (UTC) or later, by the workshop's clock."},
    )
    until = fields.String(
        validate=_DAY, metadata={"description": "Received on this day or sooner."}
    )
    after = fields.String(
        validate=validate.Regexp(r"\A[0-9]{1,16}\Z"),
        metadata={"description": "The `next` of a page before."},
    )


class PhotoQuality(Answer):
    """As the phone judged it when it was taken."""

    sharp_tenths: int
    mean: int
    blown_permille: int


class PhotoRow(Answer):
    """A photo as its entry has it. `index`: its record's place in the ledger, which proves it."""

    index: int
    id: str
    job: str
    bundle: str | None
    engine_code: str | None
    plate: Annotated[str | None, "Null where it is not here, or not for this device."]
    step: str
    name: str
    blob: str
    how: Literal["live", "picked"]
    quality: PhotoQuality | None
    person: str
    at: Annotated[str, "By the device's own clock."]
    received: Annotated[str, "By the workshop's clock."]
    standing: Standing


class PhotosAnswer(Answer):
    """Photos, the one received last first."""

    photos: list[PhotoRow]
    next: Next


@photos.takes("/photos", PhotosForm, PhotosAnswer)
@reads("owner", "auditor")
def across_jobs(form: dict[str, Any]) -> dict[str, object]:
    """
    List photos across jobs by step, days, person, procedure, engine, standing and sharpness, the
    one received last first, page by page. What was erased is listed, too: its entry stays.

    A question in a body: an address is kept by proxies, and a person is asked by.
    """
    most = form.pop("most")
    after = int(form.pop("after")) if "after" in form else None
    until = {"until": f"{form['until']}~"} if "until" in form else {}  # behind all times of it
    found = find(store().database, form | until, scope(), after=after, most=most + 1)
    page, following = page_of(found, most, lambda one: str(one.index))
    return {"photos": [_row(one) for one in page], "next": following}


def _row(found: Found) -> dict[str, object]:
    entry, job = found.record.entry, found.job
    sees_plate = principal().role == "owner" or (sees_field("plate") and not job["is_plate_hidden"])
    return {
        **{name: entry.body[name] for name in ("step", "name", "blob", "how")},
        **{name: job[name] for name in ("job", "bundle", "engine_code")},
        "plate": job["plate"] if sees_plate else None,
        "quality": entry.body.get("quality"),
        "index": found.index,
        "id": entry.id,
        "person": entry.person,
        "at": entry.at,
        "received": found.record.received,
        "standing": found.standing,
    }
