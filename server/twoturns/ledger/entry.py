"""
The entry: one signed line, `base64url(signature) SP canonical JSON`.

The id is the SHA-256 of the JSON bytes, and the signature is over the same bytes. They are kept
as they came and never written again. Who signed, and whether they might, is for `roster`.

An entry of a kind that this program does not know, or with a field that it does not know, was
written by a newer one. It is an entry like any other (signed, numbered, linked, kept, passed on),
but of the kind `UNREAD`: whatever goes by kinds leaves it alone, until a newer program reads it.
"""

import hashlib
import re
from binascii import a2b_base64
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Final, NamedTuple

from twoturns.words import t
from twoturns.words.en.ledger import entry as words

from . import base64url, canonical, forms, keys
from .bodies import BODIES, EDITION, JOB_KINDS, check_body
from .errors import BadBody, BadEntry, NotCanonical, TooLarge
from .forms import formed

MAX_LINE_BYTES = 64 * 1024
MAX_AFTER = 16
CONSOLE: Final = "console"  # the person of an entry signed by the workshop key
UNREAD: Final = "unread"  # the kind of what only a newer program can read

_MEMBERS = {
    "v": "1",
    "workshop": t(words.A_WORKSHOP_ID),
    "job": t(words.NULL_OR_UUID),
    "device": t(words.A_THUMBPRINT),
    "person": t(words.UUID_OR_CONSOLE, console=CONSOLE),
    "seq": t(words.A_WHOLE_NUMBER),
    "after": t(words.A_LIST_OF_IDS, max_after=MAX_AFTER),
    "at": t(words.A_TIME),
    "kind": t(words.TWO_NAMES),
    "body": t(words.AN_OBJECT),
}
_HINT = t(words.BAD_ENTRY_HINT)


@dataclass(frozen=True, slots=True)
class Entry:
    """
    An entry as it was signed. Units and forms: formats.md, sections 2 and 4.

    `wire_kind` and `wire_body` are as they stand in the line. `kind` and `body` are the same, or
    `UNREAD` and nothing. `edition` is the one of which a program must be to read it.
    """

    id: str
    line: str
    signature: bytes
    workshop: str
    job: str | None
    device: str
    person: str
    seq: int
    after: tuple[str, ...]
    at: str
    kind: str
    wire_kind: str
    edition: int
    body: Mapping[str, Any] = field(hash=False)
    wire_body: Mapping[str, Any] = field(hash=False)

    @property
    def is_known(self) -> bool:
        """Say whether this program can judge it, and not only keep it."""
        return self.kind != UNREAD

    @property
    def signed(self) -> bytes:
        """The bytes that were signed: the canonical JSON."""
        return self.line.partition(" ")[2].encode()


def parse(line: str) -> Entry:
    """
    Read a line. Its signature is not checked here: that needs a key (`verify`).

    Raises:
        TooLarge: Over 64 KiB.
        BadEntry: Not of the form, or a member is not what it must be.
        BadKey: The signature is not 64 bytes of base64url.
        NotCanonical: The JSON is not canonical.
        BadBody: The body does not say what its kind must say.
    """
    head, space, text = line.partition(" ")
    if not space:
        raise BadEntry(t(words.NO_SPACE), hint=_HINT)
    try:
        data = text.encode()
    except UnicodeEncodeError as error:
        raise BadEntry(t(words.HALF_SURROGATE_PAIR), hint=_HINT) from error
    if len(head) + 1 + len(data) > MAX_LINE_BYTES:
        raise TooLarge(
            t(words.LINE_TOO_LONG, head=len(head) + 1 + len(data), max_line_bytes=MAX_LINE_BYTES),
            hint=t(words.LINE_TOO_LONG_HINT),
        )
    members = _by_form(line) or _piece_by_piece(head, data)
    kind, body = members.kind, members.body
    edition = check_body(kind, body)
    _check_job(kind, members.job)
    is_known = edition <= EDITION
    return Entry(
        hashlib.sha256(data).hexdigest(),
        line,
        *members[:-2],
        kind if is_known else UNREAD,
        kind,
        edition,
        body if is_known else {},
        body,
    )


def verify(entry: Entry, key: str) -> bool:
    """Say whether the entry names this key as its device, and the key signed it."""
    return keys.thumbprint(key) == entry.device and keys.verify(key, entry.signed, entry.signature)


def sign(members: Mapping[str, Any], key: keys.SigningKey) -> Entry:
    """
    Return the signed entry of these members. `v` and `device` are filled in.

    Raises:
        LedgerError: As `parse`: what could not be read is not written. Nor what only a newer
            program could read.
    """
    data = canonical.dumps({**members, "v": 1, "device": key.thumbprint})
    signed = parse(f"{base64url.encode(key.sign(data))} {data.decode()}")
    if not signed.is_known:
        raise BadBody(
            t(words.UNKNOWN_FIELD, wire_kind=signed.wire_kind),
            hint=t(words.UNKNOWN_FIELD_HINT),
        )
    return signed


class _Members(NamedTuple):
    """What stands in a line, as it stands there; in the order of `Entry`."""

    signature: bytes
    workshop: str
    job: str | None
    device: str
    person: str
    seq: int
    after: tuple[str, ...]
    at: str
    kind: str
    body: Mapping[str, Any]


def _by_form(line: str) -> _Members | None:
    """
    Return what stands in a line that has the form of nearly all: in one look.

    None says nothing of what is wrong, nor that something is. `_FORM` leaves no choice but the
    body's bytes: where those are canonical, all of it is.
    """
    form = _FORM(line)
    if form is None:
        return None
    signature, after, at, body, device, job, kind, person, seq, workshop = form.groups()
    ids, number = tuple(after[1:-1].split('","')) if after else (), int(seq)
    if number > canonical.MAX_INTEGER or len(set(ids)) < len(ids):
        return None
    try:
        said = canonical.loads(body.encode(), depth=1)
    except NotCanonical:
        return None
    signed = a2b_base64(signature.replace("-", "+").replace("_", "/") + "==")
    of_job = None if job == "null" else job[1:-1]
    return _Members(signed, workshop, of_job, device, person, number, ids, at, kind, said)


def _piece_by_piece(head: str, data: bytes) -> _Members:
    """As `_by_form`, of any line: what is wrong with it is raised."""
    signature = base64url.decode(head, keys.SIGNATURE_BYTES)
    members = canonical.loads(data)
    _check_members(members)
    del members["v"]
    return _Members(signature, **{**members, "after": tuple(members["after"])})


def _check_members(members: object) -> None:
    if not isinstance(members, dict) or members.keys() != _MEMBERS.keys():
        found = sorted(members) if isinstance(members, dict) else type(members).__name__
        raise BadEntry(
            t(words.OTHER_MEMBERS, members=str(sorted(_MEMBERS)), found=f"{found!s:.300}"),
            hint=_HINT,
        )
    for name, wanted in _MEMBERS.items():
        if not _CHECKS[name](members[name]):
            raise BadEntry(
                t(words.BAD_MEMBER, name=name, wanted=wanted, members=f"{members[name]!r:.80}"),
                hint=_HINT,
            )


def _check_job(kind: str, job: str | None) -> None:
    if kind in BODIES and (job is not None) != (kind in JOB_KINDS):
        wanted = t(words.NAMES_JOB) if kind in JOB_KINDS else t(words.ABOUT_NO_JOB)
        raise BadEntry(f"{kind} {wanted}, got {job!r}", hint=_HINT)


def _is_after(value: object) -> bool:
    return (
        type(value) is list
        and len(value) <= MAX_AFTER
        and all(map(_IS_ID, value))
        and len(set(value)) == len(value)
    )


_ID: Final = f'"{forms.SHA256}"'
# Of the last character of 64 bytes in base64 four bits mean nothing, and must be zero.
_FORM: Final = re.compile(
    r"([A-Za-z0-9_-]{85}[AQgw]) "
    rf'\{{"after":\[((?:{_ID}(?:,{_ID}){{0,{MAX_AFTER - 1}}})?)\],"at":"({forms.AT})",'
    rf'"body":(\{{.*\}}),"device":"({forms.KEY})","job":(null|"{forms.UUID7}"),'
    rf'"kind":"({forms.KIND})","person":"({forms.UUID7}|{CONSOLE})","seq":([1-9][0-9]{{0,15}}),'
    rf'"v":1,"workshop":"({forms.KEY})"\}}'
).fullmatch
_IS_ID: Final = formed(forms.SHA256)
_IS_JOB: Final = formed(forms.UUID7)
_CHECKS: Final[dict[str, Callable[[Any], bool]]] = {
    "v": lambda value: type(value) is int and value == 1,
    "workshop": formed(forms.KEY),
    "job": lambda value: value is None or _IS_JOB(value),
    "device": formed(forms.KEY),
    "person": formed(f"{forms.UUID7}|{CONSOLE}"),
    "seq": lambda value: type(value) is int and value >= 1,
    "after": _is_after,
    "at": formed(forms.AT),
    "kind": formed(forms.KIND),
    "body": lambda value: type(value) is dict,
}
