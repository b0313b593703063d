"""What an audit states, and the workshop's answer to it; who may write which: `bodies`."""

from typing import Final

from twoturns.words import t
from twoturns.words.en.ledger import bodies_of_audits as words

from . import fields as f
from .fields import BodySchema

POPULATION: Final = 1_500  # as many job ids as an entry of 64 KiB holds


class Filter(BodySchema):
    """
    What the jobs of a population have in common; what is absent was not asked for. `days` are the
    first and the last on which a job came in, `exception` a code of the fold.
    """

    days = f.many(f.date(), 2, shortest=2, optional=True)
    person = f.uuid7(optional=True)
    bundle = f.sha256(optional=True)
    engine_code = f.text(optional=True)
    exception = f.text(optional=True)
    tool = f.text(optional=True)
    lot = f.text(optional=True)


class AuditFrozen(BodySchema):
    """
    The population of a sample: these jobs, by a filter, out of the ledger of this size and root.
    """

    size = f.integer(1)
    root = f.sha256()
    filter = f.nested(Filter, t(words.FILTER_MEMBERS))
    jobs = f.many(f.uuid7(), POPULATION, shortest=1)


class AuditDrawn(BodySchema):
    """The auditor's own word, given after a freeze, and how many jobs are drawn by it."""

    freeze = f.entry_id()
    word = f.text(200)
    count = f.integer(1)


class AuditFound(BodySchema):
    """What an auditor found: of a job, of a step in it, in a sample, or of the workshop."""

    about = f.uuid7(optional=True)
    step = f.name(optional=True)
    freeze = f.entry_id(optional=True)
    text = f.ref()


class AuditAnswered(BodySchema):
    """What the workshop says to a finding; `about` is the finding's."""

    finding = f.entry_id()
    about = f.uuid7(optional=True)
    text = f.ref()


class AuditClosed(BodySchema):
    """A finding is settled, by the auditor's word; `about` is the finding's."""

    finding = f.entry_id()
    about = f.uuid7(optional=True)
    text = f.ref(optional=True)


#: What an auditor alone may state.
AUDITORS: Final = frozenset({"audit.frozen", "audit.drawn", "audit.found", "audit.closed"})
AUDIT_BODIES: Final[dict[str, type[BodySchema]]] = {
    "audit.frozen": AuditFrozen,
    "audit.drawn": AuditDrawn,
    "audit.found": AuditFound,
    "audit.answered": AuditAnswered,
    "audit.closed": AuditClosed,
}
