"""What the entries of a job say, one marshmallow schema a kind; who may write it: `bodies`."""

from typing import ClassVar, Final

from twoturns.words import t
from twoturns.words.en.ledger import bodies_of_jobs as texts

from . import fields as f
from .fields import IDS, LONG, BodySchema

INSTRUMENTS: Final = ("pluck", "marks", "turn")


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
    phone = f.ref(optional=True)
    odometer_unit = f.one_of("mi", optional=True)
    since: ClassVar = {"phone": 3, "odometer_unit": 3}


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
    passed = f.many(f.nested(Passed, t(texts.PASSED_MEMBERS)), 20, shortest=1, optional=True)


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
    adaptor = f.nested(Adaptor, t(texts.ADAPTOR_MEMBERS), optional=True)
    by = f.one_of(*INSTRUMENTS, "scan", optional=True)
    saw = f.many(f.nested(Saw, t(texts.SAW_MEMBERS)), 6, shortest=1, optional=True)


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
    quality = f.nested(Quality, t(texts.QUALITY_MEMBERS), optional=True)


class NoteAdded(BodySchema):
    """Words, about a step or the job."""

    step = f.name(optional=True)
    name = f.name(optional=True)
    text = f.ref()
    photo = f.entry_id(optional=True)


class ReviewReturned(BodySchema):
    """The owner's question on a step, or on a photo of it."""

    step = f.name()
    question = f.ref()
    photo = f.entry_id(optional=True)
    since: ClassVar = {"photo": 3}


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


class RecallFollowed(BodySchema):
    """
    How far somebody came with one vehicle of a recall, or of a wrench that was found out: `how` is
    `told`, `not_reached`, `answered`, `replaced`, `retightened` or `accepted`.
    """

    of = f.entry_id()
    how = f.name()
    words = f.ref(optional=True)


class NoticeSettled(BodySchema):
    """
    The owner has seen to what the workshop's statements speak against a job: which notice, of which
    tool or procedure, and why it need not be said any more.
    """

    notice = f.text()
    about = f.text(optional=True)
    because = f.ref()


class JobClosed(BodySchema):
    """The job came to one of its ends."""

    end = f.name()
    because = f.ref(optional=True)


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
    "recall.followed": RecallFollowed,
    "job.closed": JobClosed,
    "notice.settled": NoticeSettled,
}
