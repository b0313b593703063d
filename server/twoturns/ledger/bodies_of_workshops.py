"""What a workshop states, one marshmallow schema a kind; who may write it: `bodies`."""

from typing import ClassVar, Final

from twoturns.words import t
from twoturns.words.en.ledger import bodies_of_workshops as words

from . import fields as f
from .bodies_of_registers import REGISTER_BODIES, ToolRegistered, file
from .fields import IDS, LONG, BodySchema

ROLES: Final = ("owner", "mechanic", "auditor")
BLOBS: Final = 800  # as many as an entry holds beside two long texts


class SignedBy(BodySchema):
    """The key that hands over, and its signature over the succession message."""

    key = f.key()
    signature = f.signature()


class Recovered(BodySchema):
    """The recovery key, its signature, and the records that it trusts: how many, their root."""

    key = f.key()
    signature = f.signature()
    size = f.integer(1)
    root = f.sha256()


class WorkshopKeyed(BodySchema):
    """
    A workshop key. The first stands for itself; a later one is handed over to, or recovered.

    `recovery` is the thumbprint of a recovery key: of the first one, or of a recovery's next.
    """

    key = f.key()
    name = f.text(200)
    signed_by = f.nested(SignedBy, t(words.SIGNED_BY_MEMBERS), optional=True)
    edition = f.integer(1, optional=True)
    recovery = f.thumbprint(optional=True)
    recovered = f.nested(Recovered, t(words.RECOVERED_MEMBERS), optional=True)
    since: ClassVar = {"edition": 2, "recovery": 2, "recovered": 2}


class RecoveryCommitted(BodySchema):
    """The thumbprint of a recovery key; one that follows another is signed by that one."""

    recovery = f.thumbprint()
    signed_by = f.nested(SignedBy, t(words.SIGNED_BY_MEMBERS), optional=True)


class Scope(BodySchema):
    """
    What an auditor may see, where it is not all: these jobs, those that came in from one day to
    another, private values of these fields; until an end.
    """

    jobs = f.many(f.uuid7(), 500, shortest=1, optional=True)
    days = f.many(f.date(), 2, shortest=2, optional=True)
    values = f.many(f.name(), 20, optional=True)
    end = f.at(optional=True)


class DeviceInvited(BodySchema):
    """Whoever holds the invitation's key may enrol one device."""

    key = f.key()
    role = f.one_of(*ROLES)
    person = f.uuid7()
    until = f.at()
    scope = f.nested(Scope, t(words.SCOPE_MEMBERS), optional=True)

    since: ClassVar = {"scope": 2}


class DeviceEnrolled(BodySchema):
    """A device came in on an invitation."""

    key = f.key()
    invitation = f.entry_id()
    countersign = f.signature()


class DeviceBarred(BodySchema):
    """
    What a device writes from here on is doubted (`device.revoked`), or is not taken any more, not
    even to be held back (`device.shut`).
    """

    device = f.thumbprint()
    because = f.text(LONG)


class DeviceServes(BodySchema):
    """For whom a device speaks besides the person of its invitation, from here on."""

    device = f.thumbprint()
    persons = f.many(f.uuid7(), 50)


class PersonNamed(BodySchema):
    """A person's name."""

    person = f.uuid7()
    name = f.ref()


class BundlePublished(BodySchema):
    """A bundle may be worked by."""

    bundle = f.sha256()
    name = f.text(200)
    edition = f.integer(1)
    engine_codes = f.many(f.text(), 200)


class BundleWithdrawn(BodySchema):
    """A bundle must not be worked by any more."""

    bundle = f.sha256()
    because = f.text(LONG)


class ToolCalibrated(BodySchema):
    """A tool was calibrated."""

    tool = f.text()
    on = f.date()
    due = f.date()
    certificate = f.text(200, optional=True)
    document = file()

    since: ClassVar = {"document": 3}


class FoundPoint(BodySchema):
    """What a tool was set to and what it delivered, in the check's unit."""

    nominal = f.decimal()
    found = f.decimal()
    direction = f.one_of("clockwise", "anticlockwise", optional=True)


class ToolChecked(BodySchema):
    """
    How a tool was found, before anybody adjusted it. `until` is the day by which the vehicles of a
    tool that was found out are to be followed up. With `allowed` it is one that shows: `nominal` is
    what was there, `found` what it showed, and `allowed`, in `unit`, what it may be off.
    """

    tool = f.text()
    on = f.date()
    unit = f.text(16)
    points = f.many(f.nested(FoundPoint, t(words.FOUND_POINT_MEMBERS)), 20, shortest=1)
    allowed_percent = f.decimal()
    allowed = f.decimal(optional=True)
    certificate = f.text(200, optional=True)
    until = f.date(optional=True)


class LotRecalled(BodySchema):
    """
    A lot of parts must not be fitted any more. `until` is the day by which its vehicles are to be
    followed up.
    """

    lot = f.text()
    because = f.text(LONG)
    until = f.date(optional=True)

    since: ClassVar = {"until": 3}


class WorkRuled(BodySchema):
    """
    Entries that were marked count as good again (`work.accepted`), or those of a revoked device
    that were held back stay so: nobody is given them (`work.refused`).
    """

    entries = f.many(f.entry_id(), IDS, shortest=1)
    because = f.text(LONG)


class KeptBlob(BodySchema):
    """A blob and its size in bytes."""

    blob = f.sha256()
    size = f.integer(0)


class BlobKept(BodySchema):
    """Blobs are whole on the workshop's disk."""

    blobs = f.many(f.nested(KeptBlob, t(words.KEPT_BLOB_MEMBERS)), 500, shortest=1)


class BlobErased(BodySchema):
    """A blob's bytes are gone, why and on what basis."""

    blob = f.sha256()
    reason = f.text(LONG)
    basis = f.text(LONG)


class BackupMade(BodySchema):
    """A backup covers the first `size` records."""

    size = f.integer(0)


class BackupOutside(BodySchema):
    """The owner states that another backup covers the first `size` records."""

    size = f.integer(0)
    until = f.at()


class ErasureOrdered(BodySchema):
    """
    These blobs are to be erased, why and on what basis. All of one person's or one job's stand in
    one order: it is carried out whole.
    """

    blobs = f.many(f.sha256(), BLOBS, shortest=1)
    reason = f.text(LONG)
    basis = f.text(LONG)


class ErasureRevised(BodySchema):
    """
    An order, or a rule that has not begun, does not stand (`erasure.withdrawn`); or an order need
    not wait: said by a second owner, or by the console (`erasure.hastened`).
    """

    order = f.entry_id()
    because = f.text(LONG)


class ErasureRuled(BodySchema):
    """How long an order waits, and how many blobs a day erases. Holds after the delay of before."""

    delay_days = f.integer(1)
    blobs_a_day = f.integer(1)


class RetentionSet(BodySchema):
    """How many days jobs are kept."""

    days = f.integer(1)


class RulesBegan(BodySchema):
    """From its place in the ledger on, the rules of an edition hold; never backwards."""

    edition = f.integer(2)


WORKSHOP_BODIES: Final[dict[str, type[BodySchema]]] = {
    "workshop.keyed": WorkshopKeyed,
    "device.invited": DeviceInvited,
    "device.enrolled": DeviceEnrolled,
    "device.revoked": DeviceBarred,
    "person.named": PersonNamed,
    "bundle.published": BundlePublished,
    "bundle.withdrawn": BundleWithdrawn,
    "tool.registered": ToolRegistered,
    "tool.calibrated": ToolCalibrated,
    "tool.checked": ToolChecked,
    "lot.recalled": LotRecalled,
    "work.accepted": WorkRuled,
    "work.refused": WorkRuled,
    "device.shut": DeviceBarred,
    "device.serves": DeviceServes,
    "blob.kept": BlobKept,
    "blob.erased": BlobErased,
    "backup.made": BackupMade,
    "backup.outside": BackupOutside,
    "retention.set": RetentionSet,
    "rules.began": RulesBegan,
    "erasure.ordered": ErasureOrdered,
    "erasure.withdrawn": ErasureRevised,
    "erasure.hastened": ErasureRevised,
    "erasure.ruled": ErasureRuled,
    "recovery.committed": RecoveryCommitted,
    **REGISTER_BODIES,
}
