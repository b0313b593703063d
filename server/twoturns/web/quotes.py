"""What a quote is made of: how long jobs took here before."""

from marshmallow import fields, validate

from twoturns.trade.hours import usual_minutes
from twoturns.web.access import reads, store
from twoturns.web.answers import Answer
from twoturns.web.api import Form, Room

quotes = Room("quotes", "What a quote is made of")

MOST_JOBS = 100


class HoursForm(Form):
    """Which procedure, by the id that all its editions have."""

    procedure = fields.String(required=True, validate=validate.Length(1, 64))


class HoursAnswer(Answer):
    """Minutes that jobs took here, pauses left out: the middle one of so many finished jobs."""

    minutes: int | None
    jobs: int


@quotes.gives("/hours", HoursAnswer, asked=HoursForm)
@reads("owner", "mechanic")
def hours(form: dict[str, str]) -> dict[str, object]:
    """Say how long the last 100 finished jobs by a procedure took, the middle one of them."""
    taken = store().views.minutes_of_jobs(form["procedure"], MOST_JOBS)
    usual = usual_minutes(taken)
    return {"minutes": None if usual is None else round(usual), "jobs": len(taken)}
