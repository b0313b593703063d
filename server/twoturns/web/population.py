"""All jobs in a list, for who audits: looked through by what they have in common, and counted."""

from typing import Any, Final

from marshmallow import fields, validate

from twoturns.ledger import checkpoint, forms
from twoturns.ledger.bodies_of_audits import POPULATION
from twoturns.store.population import NEWEST, VEHICLE, Asker, Place, Wanted, listed, population
from twoturns.web.access import principal, reads, scope, sees_field, store
from twoturns.web.answers import Answer
from twoturns.web.api import Form, Room
from twoturns.web.audit import FoundRow, found_row
from twoturns.web.lists import Next, PageForm, page_of
from twoturns.web.problems import Refused
from twoturns.words import t
from twoturns.words.en.web import population as words

jobs_listed = Room("population", "All jobs in a list, by what they have in common")

_PLACE: Final = rf"\A{forms.AT} {forms.UUID7}\Z"
_SHORT: Final = validate.Length(1, 64)


def _formed(form: str) -> validate.Regexp:
    return validate.Regexp(rf"\A{form}\Z")


class WantedForm(PageForm):
    """What the jobs have in common; what is absent is not asked for."""

    days = fields.List(
        fields.String(validate=_formed(forms.DATE)),
        validate=validate.Length(2, 2),
        metadata={"description": "The first and the last day on which they came in, UTC."},
    )
    person = fields.String(
        validate=_formed(forms.UUID7), metadata={"description": "Who worked on them."}
    )
    bundle = fields.String(
        validate=_formed(forms.SHA256), metadata={"description": "The edition they went by."}
    )
    engine_code = fields.String(validate=_SHORT)
    exception = fields.String(
        validate=_SHORT, metadata={"description": "A code of the fold, as `codes` of the desk."}
    )
    tool = fields.String(validate=_SHORT)
    lot = fields.String(validate=_SHORT)
    text = fields.String(
        validate=_SHORT,
        metadata={"description": "How a plate, VIN, lot, tool or engine code begins."},
    )
    after = fields.String(
        validate=validate.Regexp(_PLACE), metadata={"description": "The `next` of a page before."}
    )


class PopulationForm(Form):
    """What the jobs of a population have in common, but for words that may be a customer's."""

    days = WantedForm().fields["days"]
    person = WantedForm().fields["person"]
    bundle = WantedForm().fields["bundle"]
    engine_code = WantedForm().fields["engine_code"]
    exception = WantedForm().fields["exception"]
    tool = WantedForm().fields["tool"]
    lot = WantedForm().fields["lot"]


class ListedRow(FoundRow):
    """A job of the list. What its fold comes to is null where its procedure is not here."""

    first_received: str
    state: str | None
    exceptions: int | None
    worst: str | None


class ListedAnswer(Answer):
    """Jobs, the one that came in last first."""

    jobs: list[ListedRow]
    next: Next


class PopulationAnswer(Answer):
    """The ledger's size and root (hex) and, ascending, the jobs that it has of what was asked."""

    size: int
    root: str
    jobs: list[str]


@jobs_listed.takes("/audit/jobs", WantedForm, ListedAnswer)
@reads("owner", "auditor")
def listed_jobs(form: dict[str, Any]) -> dict[str, object]:
    """
    List the jobs that the asker sees, by what they have in common, page by page.

    A question in a body: an address is kept by proxies, in logs and in the browser's history.
    """
    most = form["most"]
    found = listed(store(), _wanted(form), _asker(), _place_in(form), most + 1)
    page, following = page_of(
        found, most, lambda one: f"{one[0]['first_received']} {one[0]['job']}"
    )
    return {
        "jobs": [{**found_row(row), **_folded(said)} for row, said in page],
        "next": following,
    }


@jobs_listed.takes("/audit/population", PopulationForm, PopulationAnswer)
@reads("owner", "auditor")
def population_of(form: dict[str, Any]) -> dict[str, object]:
    """Return the jobs of a population and the head of the ledger that has them: to be frozen."""
    ledger = store().ledger
    head = checkpoint.open(ledger.checkpoint(), ledger.key, ledger.workshop)
    jobs = population(store(), _wanted(form), _asker(), head.size, POPULATION + 1)
    if len(jobs) > POPULATION:
        raise Refused("invalid", t(words.TOO_MANY, most=POPULATION), hint=t(words.NARROW_IT))
    return {"size": head.size, "root": head.root.hex(), "jobs": jobs}


def _wanted(form: dict[str, Any]) -> Wanted:
    asked = {name: form[name] for name in Wanted.__dataclass_fields__ if name in form}
    return Wanted(**asked | ({"days": tuple(asked["days"])} if "days" in asked else {}))


def _asker() -> Asker:
    vehicle = tuple(name for name in VEHICLE if sees_field(name))
    return Asker(scope(), vehicle, hidden_too=principal().role == "owner")


def _place_in(form: dict[str, Any]) -> Place:
    if "after" not in form:
        return NEWEST
    begun, _, job = form["after"].partition(" ")
    return begun, job


def _folded(said: Any) -> dict[str, object]:  # noqa: ANN401 - a summary, or None
    shown = ("state", "exceptions", "worst")
    return {name: None if said is None else said[name] for name in shown}
