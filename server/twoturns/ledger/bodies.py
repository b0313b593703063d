"""
Every kind of entry: what it says, since which edition, and who may write it.

The table in formats.md (section 4) explains them; `python -m twoturns.ledger.types` writes the
phone's types from them. A kind or a field is added, never changed: entries are for ever.

What is added belongs to an *edition*: `SINCE` has the kinds of a later one than the first, `since`
of a body its fields. A program of an earlier edition keeps what it does not know and passes it on.
A word that a `one_of` did not have is no addition: programs of today refuse it. Add a field.
"""

from collections.abc import Mapping
from typing import Any, Final

from marshmallow import ValidationError, fields

from twoturns.words import t
from twoturns.words.en.ledger import bodies as words

from .bodies_of_audits import AUDIT_BODIES, AUDITORS
from .bodies_of_enquiries import ENQUIRY_BODIES
from .bodies_of_findings import FINDING_BODIES
from .bodies_of_jobs import JOB_BODIES as BODIES_AT_WORK
from .bodies_of_pages import PAGE_BODIES
from .bodies_of_registers import REGISTER_BODIES
from .bodies_of_workshops import WORKSHOP_BODIES
from .compiled import compiled
from .errors import BadBody
from .fields import BodySchema

EDITION: Final = 3  # the newest that this program knows
JOB_BODIES: Final = BODIES_AT_WORK | ENQUIRY_BODIES | FINDING_BODIES | PAGE_BODIES
BODIES: Final = JOB_BODIES | WORKSHOP_BODIES | AUDIT_BODIES
JOB_KINDS: Final = frozenset(JOB_BODIES)
WORKSHOP_KINDS: Final = frozenset(WORKSHOP_BODIES | AUDIT_BODIES)
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
    "enquiry.taken": 3,
    "enquiry.declined": 3,
    **dict.fromkeys(AUDIT_BODIES, 3),
    "recall.followed": 3,
    "tool.checked": 3,
    "notice.settled": 3,
    **dict.fromkeys(REGISTER_BODIES, 3),
    **dict.fromkeys(FINDING_BODIES, 3),
    **dict.fromkeys(PAGE_BODIES, 3),
}

_CONSOLE_ONLY = {"workshop.keyed", "blob.kept", "backup.made", "rules.began", "recovery.committed"}
# Owners might, until the rules of an edition began: then it is the console's alone.
_CONSOLE_ONLY_SINCE = {"blob.erased": 2}
_OWNER_ONLY = {"review.returned", "review.gap", "review.approved"}
_OWNER_ONLY |= {"recall.borne", "recall.followed", "notice.settled"}
# A device enrols itself, in the role it is about to have.
_MAY_WRITE: Final[dict[str, frozenset[str]]] = {
    "console": WORKSHOP_KINDS - AUDITORS,
    "owner": JOB_KINDS | (WORKSHOP_KINDS - _CONSOLE_ONLY - AUDITORS),
    "mechanic": (JOB_KINDS - _OWNER_ONLY) | {"device.enrolled"},
    "auditor": AUDITORS | {"note.added", "device.enrolled"},
}
_SCHEMAS = {kind: schema() for kind, schema in BODIES.items()}
_CHECKS = {kind: compiled(schema, EDITION + 1) for kind, schema in _SCHEMAS.items()}


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
    check = _CHECKS.get(kind)
    if check is None:
        return EDITION + 1
    edition = check(body) or _edition_by_schema(kind, body)
    return max(SINCE.get(kind, 1), edition)


def _edition_by_schema(kind: str, body: object) -> int:
    """As `check_body`, by marshmallow, which says what is wrong; kinds are not asked."""
    schema = _SCHEMAS[kind]
    try:
        schema.load(body)  # type: ignore[arg-type]  # whatever it is, load says what is wrong
    except ValidationError as error:
        faults = "; ".join(_faults(error.messages, "body"))
        raise BadBody(
            f"{kind}: {faults}",
            hint=t(words.BAD_BODY_HINT),
        ) from error
    return _edition(schema, body)


def _edition(schema: BodySchema, body: Any) -> int:  # noqa: ANN401 - it was checked
    """Return the edition of the newest field in a body, at whatever depth."""
    return max((_edition_of_field(schema, name, value) for name, value in body.items()), default=1)


def _edition_of_field(schema: BodySchema, name: str, value: object) -> int:
    field = schema.fields.get(name)
    if field is None:
        return EDITION + 1
    inner = field.inner if isinstance(field, fields.List) else field
    nested = inner.schema if isinstance(inner, fields.Nested) else None
    own = schema.since.get(name, 1)
    if not isinstance(nested, BodySchema):
        return own
    values = value if isinstance(value, list) else [value]
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
