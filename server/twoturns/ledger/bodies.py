"""
What each kind of entry says: one marshmallow schema a kind, and who may write it.

The table in DEVELOPERS.md (section 4) explains them; `python -m twoturns.ledger.types` writes the
phone's types from them. A kind or a field is added, never changed: entries are for ever.

What is added belongs to an *edition*: `SINCE` has the kinds of a later one than the first, `since`
of a body its fields. A program of an earlier edition keeps what it does not know and passes it on.
A word that a `one_of` did not have is no addition: programs of today refuse it. Add a field.
"""

from collections.abc import Mapping
from typing import Any, ClassVar, Final

from marshmallow import ValidationError, fields

from . import fields as f
from .errors import BadBody
from .fields import BodySchema

ROLES: Final = ("owner", "mechanic", "auditor")
INSTRUMENTS: Final = ("pluck", "marks", "turn")
LONG = 500  # text in clear that says why
IDS = 900  # as many ids as an entry of 64 KiB holds
EDITION: Final = 2  # the newest that this program knows
BLOBS = 800  # the same, beside two long texts


class Nothing(BodySchema):
    """The kind says it all."""


class JobOpened(BodySchema):
    """A vehicle came in and a bundle was chosen."""

    bundle = f.sha256()
    vin = f.ref()
    plate = f.ref()
    odometer_km = f.integer(0)
    engine_code = f.text()
    bay = f.text()
    customer = f.ref(optional=True)


class ToolMoved(BodySchema):
    """A tool went into the engine bay, or came back."""

    tool = f.name()
    id = f.text(optional=True)


class ToolLost(BodySchema):
    """A tool will not come back."""

    tool = f.name()
    because = f.ref()


class PartFitted(BodySchema):
    """A part went in, from which lot. `code` is what the camera read; typed lots have none."""

    step = f.name()
    name = f.name()
    part = f.text()
    lot = f.text()
    serial = f.text(optional=True)
    code = f.text(LONG, optional=True)


class StepNamed(BodySchema):
    """A step was begun."""

    step = f.name()


class StepReopened(BodySchema):
    """A step is to be done again."""

    step = f.name()
    because = f.ref()


class Passed(BodySchema):
    """A house rule that asks was passed: why, and a photo."""

    rule = f.name()
    because = f.ref()
    photo = f.entry_id()


class StepDone(BodySchema):
    """A step was done, and what proves it."""

    step = f.name()
    proof = f.many(f.entry_id(), 100)
    passed = f.many(f.nested(Passed, "rule, because, photo"), 20, shortest=1, optional=True)


class StepFailed(BodySchema):
    """A step failed in one of the ways its bundle knows."""

    step = f.name()
    failure = f.name()
    proof = f.many(f.entry_id(), 100)
    words = f.ref(optional=True)


class ConditionSeen(BodySchema):
    """Someone looked how a condition is."""

    condition = f.name()
    value = f.text()


class Saw(BodySchema):
    """Something that an instrument saw or heard, kept so that its value can be computed anew."""

    blob = f.sha256()
    size = f.integer(1)
    type = f.one_of("application/json", "audio/wav")


class Adaptor(BodySchema):
    """What sat between wrench and fastener: the wrench was set to the corrected value."""

    wrench_mm = f.integer(1)
    adaptor_mm = f.integer(1)
    angle_deg = f.integer(0)


class ReadingTaken(BodySchema):
    """
    A value was read, the limits it was read against, and with what. `by` is the phone's
    instrument; without it the value was read by eye.
    """

    step = f.name()
    name = f.name()
    value = f.text(LONG)
    unit = f.text(16, shortest=0)
    low = f.decimal(optional=True)
    high = f.decimal(optional=True)
    tool = f.text(optional=True)
    photo = f.entry_id(optional=True)
    adaptor = f.nested(Adaptor, "wrench_mm, adaptor_mm, angle_deg", optional=True)
    by = f.one_of(*INSTRUMENTS, "scan", optional=True)
    saw = f.many(f.nested(Saw, "blob, size, type"), 6, shortest=1, optional=True)


class ReadingCorrected(BodySchema):
    """A reading was written down wrong."""

    of = f.entry_id()
    value = f.text(LONG)
    because = f.ref()


class Quality(BodySchema):
    """How sharp and how bright a photo is: `instruments/sharpness` says how it is measured."""

    sharp_tenths = f.integer(0)
    mean = f.integer(0)
    blown_permille = f.integer(0)


class PhotoTaken(BodySchema):
    """
    A photo: its bytes are a blob. Width and height are 0, and there is no quality, when the phone
    cannot tell.
    """

    step = f.name()
    name = f.name()
    blob = f.sha256()
    size = f.integer(1)
    type = f.one_of("image/jpeg", "image/png", "image/webp", "image/heic")
    width = f.integer(0)
    height = f.integer(0)
    how = f.one_of("live", "picked")
    quality = f.nested(Quality, "sharp_tenths, mean, blown_permille", optional=True)


class NoteAdded(BodySchema):
    """Words, about a step or the job."""

    step = f.name(optional=True)
    name = f.name(optional=True)
    text = f.ref()
    photo = f.entry_id(optional=True)


class ReviewReturned(BodySchema):
    """The owner's question on a step."""

    step = f.name()
    question = f.ref()


class ReviewAnswered(BodySchema):
    """The answer to a question."""

    question = f.entry_id()
    words = f.ref(optional=True)
    photo = f.entry_id(optional=True)
    any_of = ("words", "photo")


class ReviewGap(BodySchema):
    """The owner accepts that a step was not proved."""

    step = f.name()
    because = f.ref()
    question = f.entry_id(optional=True)


class RecallBorne(BodySchema):
    """The owner takes over that parts of a recalled lot stay in this engine."""

    recall = f.entry_id()
    parts = f.many(f.entry_id(), IDS, shortest=1)
    because = f.ref()


class JobClosed(BodySchema):
    """The job came to one of its ends."""

    end = f.name()
    because = f.ref(optional=True)


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
    signed_by = f.nested(SignedBy, "key and signature", optional=True)
    edition = f.integer(1, optional=True)
    recovery = f.thumbprint(optional=True)
    recovered = f.nested(Recovered, "recovery key, signature, size and root", optional=True)
    since: ClassVar = {"edition": 2, "recovery": 2, "recovered": 2}


class RecoveryCommitted(BodySchema):
    """The thumbprint of a recovery key; one that follows another is signed by that one."""

    recovery = f.thumbprint()
    signed_by = f.nested(SignedBy, "key and signature", optional=True)


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
    scope = f.nested(Scope, "jobs, days, values, end", optional=True)

    since: ClassVar = {"scope": 2}


class DeviceEnrolled(BodySchema):
    """A device came in on an invitation."""

    key = f.key()
    invitation = f.entry_id()
    countersign = f.signature()


class DeviceRevoked(BodySchema):
    """What a device writes from here on is doubted."""

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


class ToolRegistered(BodySchema):
    """A measuring tool of the workshop, and its range."""

    tool = f.text()
    type = f.name()
    label = f.text(200)
    low = f.decimal(optional=True)
    high = f.decimal(optional=True)
    unit = f.text(16, optional=True)


class ToolCalibrated(BodySchema):
    """A tool was calibrated."""

    tool = f.text()
    on = f.date()
    due = f.date()
    certificate = f.text(200, optional=True)


class LotRecalled(BodySchema):
    """A lot of parts must not be fitted any more."""

    lot = f.text()
    because = f.text(LONG)


class WorkAccepted(BodySchema):
    """Entries that were marked count as good again."""

    entries = f.many(f.entry_id(), IDS, shortest=1)
    because = f.text(LONG)


class WorkRefused(BodySchema):
    """Entries of a revoked device that were held back stay so: nobody is given them."""

    entries = f.many(f.entry_id(), IDS, shortest=1)
    because = f.text(LONG)


class DeviceShut(BodySchema):
    """Nothing more is taken from a device, not even to be held back."""

    device = f.thumbprint()
    because = f.text(LONG)


class KeptBlob(BodySchema):
    """A blob and its size in bytes."""

    blob = f.sha256()
    size = f.integer(0)


class BlobKept(BodySchema):
    """Blobs are whole on the workshop's disk."""

    blobs = f.many(f.nested(KeptBlob, "blob and size"), 500, shortest=1)


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


class ErasureWithdrawn(BodySchema):
    """An order, or a rule that has not begun, does not stand."""

    order = f.entry_id()
    because = f.text(LONG)


class ErasureHastened(BodySchema):
    """An order need not wait: said by a second owner, or by the console."""

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


JOB_BODIES: Final[dict[str, type[BodySchema]]] = {
    "job.opened": JobOpened,
    "job.taken": Nothing,
    "tool.out": ToolMoved,
    "tool.in": ToolMoved,
    "tool.lost": ToolLost,
    "part.fitted": PartFitted,
    "step.begun": StepNamed,
    "step.done": StepDone,
    "step.failed": StepFailed,
    "step.reopened": StepReopened,
    "condition.seen": ConditionSeen,
    "reading.taken": ReadingTaken,
    "reading.corrected": ReadingCorrected,
    "photo.taken": PhotoTaken,
    "note.added": NoteAdded,
    "review.returned": ReviewReturned,
    "review.answered": ReviewAnswered,
    "review.gap": ReviewGap,
    "review.approved": Nothing,
    "recall.borne": RecallBorne,
    "job.closed": JobClosed,
}
WORKSHOP_BODIES: Final[dict[str, type[BodySchema]]] = {
    "workshop.keyed": WorkshopKeyed,
    "device.invited": DeviceInvited,
    "device.enrolled": DeviceEnrolled,
    "device.revoked": DeviceRevoked,
    "person.named": PersonNamed,
    "bundle.published": BundlePublished,
    "bundle.withdrawn": BundleWithdrawn,
    "tool.registered": ToolRegistered,
    "tool.calibrated": ToolCalibrated,
    "lot.recalled": LotRecalled,
    "work.accepted": WorkAccepted,
    "work.refused": WorkRefused,
    "device.shut": DeviceShut,
    "device.serves": DeviceServes,
    "blob.kept": BlobKept,
    "blob.erased": BlobErased,
    "backup.made": BackupMade,
    "backup.outside": BackupOutside,
    "retention.set": RetentionSet,
    "rules.began": RulesBegan,
    "erasure.ordered": ErasureOrdered,
    "erasure.withdrawn": ErasureWithdrawn,
    "erasure.hastened": ErasureHastened,
    "erasure.ruled": ErasureRuled,
    "recovery.committed": RecoveryCommitted,
}
BODIES: Final = JOB_BODIES | WORKSHOP_BODIES
JOB_KINDS: Final = frozenset(JOB_BODIES)
WORKSHOP_KINDS: Final = frozenset(WORKSHOP_BODIES)
# The others are of the first edition.
SINCE: Final[Mapping[str, int]] = {
    "rules.began": 2,
    "erasure.ordered": 2,
    "erasure.withdrawn": 2,
    "erasure.hastened": 2,
    "erasure.ruled": 2,
    "recovery.committed": 2,
    "recall.borne": 2,
    "work.refused": 2,
    "device.shut": 2,
    "device.serves": 2,
}

_CONSOLE_ONLY = {"workshop.keyed", "blob.kept", "backup.made", "rules.began", "recovery.committed"}
# Owners might, until the rules of an edition began: then it is the console's alone.
_CONSOLE_ONLY_SINCE = {"blob.erased": 2}
_OWNER_ONLY = {"review.returned", "review.gap", "review.approved", "recall.borne"}
# A device enrols itself, in the role it is about to have.
_MAY_WRITE: Final[dict[str, frozenset[str]]] = {
    "console": WORKSHOP_KINDS,
    "owner": JOB_KINDS | (WORKSHOP_KINDS - _CONSOLE_ONLY),
    "mechanic": (JOB_KINDS - _OWNER_ONLY) | {"device.enrolled"},
    "auditor": frozenset({"note.added", "device.enrolled"}),
}
_SCHEMAS = {kind: schema() for kind, schema in BODIES.items()}


def may_write(role: str, kind: str, edition: int = EDITION) -> bool:
    """
    Say whether a role ("console", or one of `ROLES`) allows a kind of entry, by an edition's rules.

    Of a kind that we do not know nobody can say whose it is: it is not held against the writer.
    """
    if role != "console" and edition >= _CONSOLE_ONLY_SINCE.get(kind, EDITION + 1):
        return False
    return kind not in BODIES or kind in _MAY_WRITE[role]


def check_body(kind: str, body: object) -> int:
    """
    Check that a body says what its kind must say. Fields and kinds that we do not know pass.

    Returns:
        The edition of which a program must be to read it: `EDITION + 1`, if that is a later one
        than ours.

    Raises:
        BadBody: Naming each field that is wrong and what was expected of it.
    """
    schema = _SCHEMAS.get(kind)
    if schema is None:
        return EDITION + 1
    try:
        schema.load(body)  # type: ignore[arg-type]  # whatever it is, load says what is wrong
    except ValidationError as error:
        faults = "; ".join(_faults(error.messages, "body"))
        raise BadBody(
            f"{kind}: {faults}",
            hint="The writer is not one of ours, or its program is damaged: update it.",
        ) from error
    return max(SINCE.get(kind, 1), _edition(schema, body))


def _edition(schema: BodySchema, body: Any) -> int:  # noqa: ANN401 - it was checked
    """Return the edition of the newest field in a body, at whatever depth."""
    return max((_edition_of_field(schema, name, value) for name, value in body.items()), default=1)


def _edition_of_field(schema: BodySchema, name: str, value: Any) -> int:  # noqa: ANN401
    field = schema.fields.get(name)
    if field is None:
        return EDITION + 1
    inner = field.inner if isinstance(field, fields.List) else field
    nested = inner.schema if isinstance(inner, fields.Nested) else None
    own = schema.since.get(name, 1)
    if not isinstance(nested, BodySchema):
        return own
    values = value if isinstance(field, fields.List) else [value]
    return max([own, *(_edition(nested, each) for each in values)])


def _faults(messages: object, where: str) -> list[str]:
    """Flatten marshmallow's tree of messages into one text a fault."""
    if isinstance(messages, Mapping):
        return [
            fault
            for name, inner in messages.items()
            for fault in _faults(inner, where if name == "_schema" else f"{where}.{name!s:.80}")
        ]
    texts = messages if isinstance(messages, list) else [messages]
    return [f"{where}: {text}" for text in texts]
