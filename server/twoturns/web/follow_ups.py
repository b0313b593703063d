"""The vehicles of a recall, or of a tool that was found out: whom to call, and how far it came."""

from dataclasses import asdict
from typing import Annotated, Any, Literal

from marshmallow import fields, validate

from twoturns.ledger import forms
from twoturns.store.follow_up import matter, vehicles
from twoturns.web.access import reads, store
from twoturns.web.answers import Answer
from twoturns.web.api import Form, Room
from twoturns.web.audit import DialUnit
from twoturns.web.lists import Next

follow_ups = Room("follow-ups", "Vehicles of a recall, or of a tool that was found out")


class FollowedRow(Answer):
    """How far somebody came with a vehicle, as a `recall.followed` says it."""

    entry: str
    how: str
    at: Annotated[str, "By the clock of the device."]
    person: str
    words: Annotated[str | None, "The blob of a private value."]


class RecalledPart(Answer):
    """A part of the lot that is in the engine. `asks`: nobody has replaced it or taken it over."""

    part: str
    lot: str
    asks: bool


class FastenerRow(Answer):
    """What the tool tightened: as it was written down, and what the fastener really got."""

    entry: str
    step: str
    where: Annotated[str, "In the procedure's words."]
    at: Annotated[str, "By the clock of the device."]
    value: str
    unit: str
    low: str | None
    high: str | None
    setting: Annotated[str, "On the tool's scale."]
    actual: Annotated[str | None, "Null: the setting is outside of the points that were checked."]
    verdict: Literal["outside", "unknown", "inside"]
    beyond_permille: Annotated[int, "How far out of its limits, of what was asked for."]
    is_settled: Annotated[bool, "Tightened again, or taken over as it is."]


class VehicleRow(Answer):
    """A job's vehicle. What is not here or was erased is null."""

    job: str
    plate: str | None
    vin: str | None
    engine_code: str | None
    odometer_km: int | None
    odometer_unit: DialUnit
    begun: str
    is_closed: bool
    customer: str | None
    phone: str | None
    followed: Annotated[list[FollowedRow], "The last one last."]
    parts: list[RecalledPart]
    fasteners: Annotated[list[FastenerRow], "The worst first."]
    is_done: Annotated[bool, "Nothing more is to be done."]
    later_job: Annotated[str | None, "In which the part was fitted of another lot since."]


# A job's log is read for each, which takes some 40 ms: nobody else is to wait for a page.
PAGE_JOBS = 25


class FollowUpForm(Form):
    most = fields.Integer(
        load_default=PAGE_JOBS,
        validate=validate.Range(1, 4 * PAGE_JOBS),
        metadata={"description": "Jobs that are looked at, at most."},
    )
    after = fields.String(
        validate=validate.Regexp(rf"\A{forms.UUID7}\Z"),
        metadata={"description": "The `next` of a page before."},
    )


class FollowUpAnswer(Answer):
    """
    A recall (`kind` lot) or a check that found a tool out (tool), and its vehicles, the job begun
    last first. A page looks at so many jobs and may hold fewer vehicles, or none.
    """

    of: str
    kind: Literal["lot", "tool"]
    name: str
    because: Annotated[str, "Of a check its certificate."]
    until: Annotated[str | None, "The day by which it is done."]
    on: Annotated[str, "The day of a check."]
    vehicles: list[VehicleRow]
    next: Next


@follow_ups.gives("/follow-ups/<sha256:of>", FollowUpAnswer, asked=FollowUpForm)
@reads("owner")
def look(form: dict[str, Any], of: str) -> dict[str, object]:
    """List the vehicles of a recall, or of a check that found a tool out, page by page."""
    about = matter(store(), of)
    found, following = vehicles(store(), about, form.get("after"), form["most"])
    return {**asdict(about), "vehicles": found, "next": following}
