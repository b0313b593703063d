"""
What the entries of a call say: somebody asks about a vehicle, before a job is opened or instead.

They stand in the job that would be opened. Of several `enquiry.taken` the last one holds.
"""

from typing import Final

from twoturns.words import t
from twoturns.words.en.ledger import bodies_of_enquiries as texts

from . import fields as f
from .fields import BodySchema


class Answer(BodySchema):
    """A question of the triage, and what the caller said to it (`trade/triage`)."""

    ask = f.name()
    said = f.name()


class EnquiryTaken(BodySchema):
    """
    Somebody called about a vehicle: what is known of it, when its belt was fitted and how long one
    may last there, where it stands, what was advised and why, what the caller was told to do and
    not to do, and what was warned of in writing. `confirmed`: what was asked back, and is so.
    """

    customer = f.ref(optional=True)
    phone = f.ref(optional=True)
    plate = f.ref(optional=True)
    vin = f.ref(optional=True)
    engine_code = f.text(optional=True)
    odometer_km = f.integer(0, optional=True)
    odometer_unit = f.one_of("mi", optional=True)
    noticed = f.many(f.name(), 30, optional=True)
    words = f.ref(optional=True)
    fitted_on = f.date(optional=True)
    fitted_km = f.integer(0, optional=True)
    interval_km = f.integer(1, optional=True)
    interval_months = f.integer(1, optional=True)
    severe_percent = f.integer(1, optional=True)
    due = f.name(optional=True)
    due_on = f.date(optional=True)
    due_km = f.integer(0, optional=True)
    triage = f.many(f.nested(Answer, t(texts.ANSWER_MEMBERS)), 30, optional=True)
    advice = f.name(optional=True)
    because = f.many(f.name(), 30, optional=True)
    told = f.many(f.name(), 30, optional=True)
    warning = f.ref(optional=True)
    confirmed = f.many(f.name(), 30, optional=True)


class EnquiryDeclined(BodySchema):
    """The customer does not want the work. `how`: by what way they said so, after the warning."""

    enquiry = f.entry_id()
    how = f.name()
    words = f.ref(optional=True)


ENQUIRY_BODIES: Final[dict[str, type[BodySchema]]] = {
    "enquiry.taken": EnquiryTaken,
    "enquiry.declined": EnquiryDeclined,
}
