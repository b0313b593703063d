"""For the owner: what came in today, what is due, what the work tells, who is there."""

from typing import Annotated, Any, Literal

from marshmallow import fields, validate

from twoturns.ledger import forms
from twoturns.store.contacts import last_contacts
from twoturns.store.due_lines import FIRST
from twoturns.store.due_lines import lines as due_lines
from twoturns.store.job_lines import since as heard_of_since
from twoturns.store.step_figures import over
from twoturns.web.access import now, reads, store
from twoturns.web.answers import Answer
from twoturns.web.api import Form, Room
from twoturns.web.audit import DialUnit, found_row
from twoturns.web.desk import JobLine
from twoturns.web.lists import Next, PageForm, page_of

workday = Room("workday", "The owner's day: what came in, what is due, what the work tells")

MOST_JOBS = 500
Day = Annotated[str, "A day: YYYY-MM-DD."]
PLACE = validate.Regexp(rf"\A{forms.DATE}\.{forms.UUID7}\Z")


class TodayForm(Form):
    """From when on: midnight by the clock of who asks."""

    since = fields.String(required=True, validate=validate.Regexp(rf"\A{forms.AT}\Z"))
    most = fields.Integer(load_default=100, validate=validate.Range(1, MOST_JOBS))


class TodayRow(JobLine):
    """A job of which something came in."""

    kinds: Annotated[dict[str, int], "How many entries of each kind came in."]
    is_new: Annotated[bool | None, "Opened since; null: unknown."]


class TodayAnswer(Answer):
    """Jobs, the one heard of last first."""

    jobs: list[TodayRow]
    is_more: bool


@workday.gives("/today", TodayAnswer, asked=TodayForm)
@reads("owner")
def today(form: dict[str, Any]) -> dict[str, object]:
    """List the jobs of which something came in since a time, the one heard of last first."""
    found = heard_of_since(store(), form["since"], form["most"] + 1)
    return {
        "jobs": [found_row(row) for row in found[: form["most"]]],
        "is_more": len(found) > form["most"],
    }


class DueRow(Answer):
    """
    A belt that will be due. `day` is what the forecast says, between `earliest` and `latest`;
    `by`: what comes first.
    """

    job: str
    plate: str | None
    vin: str | None
    engine_code: str | None
    customer_name: str | None
    telephone: str | None
    closed_on: Day
    limit_km: int
    odometer_unit: DialUnit
    limit_day: Day
    day: Day
    earliest: Day | None
    latest: Day | None
    by: Literal["distance", "date", "unknown"]
    km_a_year: Annotated[
        int | None, "The vehicle's own use; null: read once, or it cannot be said."
    ]
    even_km_a_year: Annotated[
        int | None, "Above this use a year the distance comes before the date."
    ]
    oddities: list[str]


class DueForm(PageForm):
    after = fields.String(validate=PLACE, metadata={"description": "The `next` of a page before."})


class DueAnswer(Answer):
    """Belts, the one that is due first first."""

    dues: list[DueRow]
    next: Next


@workday.gives("/due", DueAnswer, asked=DueForm)
@reads("owner")
def due(form: dict[str, Any]) -> dict[str, object]:
    """
    List the belts that will be due, page by page: by the vehicle's own readings where the workshop
    has two of them, else by the date. Not of vehicles that were finished here once more since.
    """
    day, _, job = form.get("after", ".").partition(".")
    most = form["most"]
    found = due_lines(store(), now().date(), (day, job) if day else FIRST, most + 1)
    page, following = page_of(found, most, lambda due: ".".join(due[0]))
    return {"dues": [line for _, line in page], "next": following}


class FiguresForm(Form):
    jobs = fields.Integer(
        load_default=200,
        validate=validate.Range(1, MOST_JOBS),
        metadata={"description": "Of so many jobs, those that were closed last."},
    )


class MonthRow(Answer):
    """
    Jobs that were closed in a month: of how many every step held at first, and how many came back
    within a year of the one before.
    """

    month: Annotated[str, "YYYY-MM"]
    jobs: int
    first_time_right: int
    comebacks: int


class StepRow(Answer):
    """
    A step, in `jobs` jobs that tell of it: the middle of the minutes it took, what one in ten takes
    longer than, how often it did not hold, and how often it was opened again.
    """

    procedure: str
    step: str
    jobs: int
    minutes: float | None
    slow_minutes: float | None
    failed: int
    again: int


class CauseRow(Answer):
    """Why a step did not hold, in the procedure's words, and how often."""

    procedure: str
    step: str
    says: str
    often: int


class CountsRow(Answer):
    """Readings: of an instrument of the phone's, figures read by eye, and what was only said."""

    measured: int
    read: int
    said: int


class ComebackRow(Answer):
    """A job whose vehicle was finished here less than a year before."""

    job: str
    closed_at: str
    before: str
    before_at: str


class FiguresAnswer(Answer):
    """What the jobs tell that were closed last; `since`: when the first of them was."""

    jobs: int
    since: str | None
    months: list[MonthRow]
    steps: list[StepRow]
    causes: list[CauseRow]
    counts: CountsRow
    comebacks: list[ComebackRow]


@workday.gives("/figures", FiguresAnswer, asked=FiguresForm)
@reads("owner")
def figures(form: dict[str, int]) -> dict[str, object]:
    """Add up what the jobs tell that were closed last: in bounded work, however many there are."""
    return over(store(), form["jobs"])


class ContactRow(Answer):
    """A device: when it signed in last, and when something of it came; null: not known."""

    device: str
    signed_in: str | None
    sent: str | None


class ContactsAnswer(Answer):
    """Every device that ever enrolled."""

    devices: list[ContactRow]


@workday.gives("/devices", ContactsAnswer)
@reads("owner")
def devices() -> dict[str, object]:
    """Tell when each device was heard of last."""
    return {"devices": last_contacts(store().database)}
