"""
What is found beside the procedure's work, what the customer says to it, what is done of it; and
when a job is promised, parked and resumed. Entries of a job; who may write them: `bodies`.
"""

from typing import Final

from . import fields as f
from .bodies_of_jobs import Nothing
from .fields import BodySchema

_EXTRAS: Final = 50


class FindingNoted(BodySchema):
    """
    Something was found at a step that the procedure does not put right. `name` and `value`, or
    `failure`: the choice, or the failure, that offered it.
    """

    step = f.name()
    name = f.name(optional=True)
    value = f.text(optional=True)
    failure = f.name(optional=True)
    words = f.ref(optional=True)
    photo = f.entry_id(optional=True)
    any_of = ("words", "photo")


class FindingAnswered(BodySchema):
    """
    The customer's word on a finding, and how it came (`call`, `message`, `signature`, `there`). A
    yes is to the `extras` that were named.
    """

    finding = f.entry_id()
    answer = f.one_of("yes", "no")
    how = f.name()
    extras = f.many(f.entry_id(), _EXTRAS, optional=True)
    words = f.ref(optional=True)
    signature = f.ref(optional=True)


class FindingSettled(BodySchema):
    """A finding asks for nothing more: it was put right (`done`), or it is none (`dropped`)."""

    finding = f.entry_id()
    how = f.name()
    words = f.ref(optional=True)
    photo = f.entry_id(optional=True)


class ExtraAdded(BodySchema):
    """Work beside the procedure's, for a finding: what, with which part, in how many minutes."""

    finding = f.entry_id()
    what = f.ref()
    part = f.text(optional=True)
    minutes = f.integer(1, optional=True)


class ExtraDone(BodySchema):
    """Such work is done, and what shows it."""

    extra = f.entry_id()
    words = f.ref(optional=True)
    photo = f.entry_id(optional=True)
    value = f.decimal(optional=True)
    unit = f.text(16, optional=True)
    any_of = ("words", "photo", "value")


class JobPlanned(BodySchema):
    """Who is to do a job, and when it is promised. It takes the place of what was planned."""

    person = f.uuid7(optional=True)
    promised = f.at(optional=True)
    any_of = ("person", "promised")


class JobParked(BodySchema):
    """The work rests, and why: `part` (it is missing), `customer`, or another word."""

    why = f.name()
    part = f.text(optional=True)
    words = f.ref(optional=True)


FINDING_BODIES: Final[dict[str, type[BodySchema]]] = {
    "finding.noted": FindingNoted,
    "finding.answered": FindingAnswered,
    "finding.settled": FindingSettled,
    "extra.added": ExtraAdded,
    "extra.done": ExtraDone,
    "job.planned": JobPlanned,
    "job.parked": JobParked,
    "job.resumed": Nothing,
}
