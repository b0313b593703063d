"""What a workshop has on its registers: tools, sets, permits, devices by name. A schema a kind."""

from typing import ClassVar, Final

from marshmallow import fields

from twoturns.words import t
from twoturns.words.en.ledger import bodies_of_registers as words

from . import fields as f
from .fields import LONG, BodySchema


class Document(BodySchema):
    """A file that is kept like a photo: a certificate, a picture. `type` is its media type."""

    blob = f.sha256()
    size = f.integer(1)
    type = f.text()


def file() -> fields.Nested:
    """A file beside what is said, where there is one."""
    return f.nested(Document, t(words.DOCUMENT_MEMBERS), optional=True)


class ToolRegistered(BodySchema):
    """A measuring tool of the workshop, its range, and how true it is by its maker's word."""

    tool = f.text()
    type = f.name()
    label = f.text(200)
    low = f.decimal(optional=True)
    high = f.decimal(optional=True)
    unit = f.text(16, optional=True)
    accuracy = f.text(optional=True)

    since: ClassVar = {"accuracy": 3}


class ToolCorrected(ToolRegistered):
    """What was said of a tool at its registering was wrong: this stands in its place, and why."""

    because = f.text(LONG)

    since: ClassVar = {}  # the kind is no older than its members


class ToolRetired(BodySchema):
    """A tool must not be used any more. One that is registered again is back."""

    tool = f.text()
    because = f.text(LONG)


class Piece(BodySchema):
    """One piece of a set: what it is called, what more is said of it, and its picture."""

    piece = f.text(200)
    says = f.text(200, optional=True)
    picture = file()


class SetRegistered(BodySchema):
    """
    What belongs together and is counted together: a set of locking tools, a kit of parts. The last
    statement of a set stands in the place of those before.
    """

    set = f.text()
    type = f.name()
    label = f.text(200)
    engine_codes = f.many(f.text(), 200)
    pieces = f.many(f.nested(Piece, t(words.PIECE_MEMBERS)), 100)
    picture = file()


class SetRetired(BodySchema):
    """A set is not there any more. One that is registered again is back."""

    set = f.text()
    because = f.text(LONG)


class PermitGiven(BodySchema):
    """A person may do what asks for a permit (high voltage, ...), from a day on, until a day."""

    person = f.uuid7()
    permit = f.name()
    on = f.date()
    until = f.date(optional=True)
    document = file()


class PermitEnded(BodySchema):
    """A permit does not hold any more."""

    permit = f.entry_id()
    because = f.text(LONG)


class DeviceNamed(BodySchema):
    """What a device is called in the workshop. It may be somebody's name: a private value."""

    device = f.thumbprint()
    name = f.ref()


REGISTER_BODIES: Final[dict[str, type[BodySchema]]] = {
    "tool.corrected": ToolCorrected,
    "tool.retired": ToolRetired,
    "set.registered": SetRegistered,
    "set.retired": SetRetired,
    "permit.given": PermitGiven,
    "permit.ended": PermitEnded,
    "device.named": DeviceNamed,
}
