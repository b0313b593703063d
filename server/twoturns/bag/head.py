"""
The head of a job: what the workshop held of it, signed for the very size and root of a bag.

A signed note (`ledger.note`) by the workshop key, under the name that signs checkpoints:

    two-turns head of a job 1
    WORKSHOP-ID
    JOB
    SIZE
    base64 of the root
    YYYY-MM-DD, when the bag was made
    entries COUNT SHA-256
    others COUNT SHA-256
    payload SHA-256

`entries` are the job's, `others` the statements and neighbours that the bag holds beside them;
each hash is over `ID LF`, in the order of the ledger. `payload` is over the lines of the bag's
`manifest-sha256.txt` without the head's own. It is of no checkpoint's form: the second line of one
is a number.
"""

import hashlib
import re
from base64 import b64encode
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final, Self

from twoturns.bag import layout
from twoturns.ledger import forms, note
from twoturns.ledger.checkpoint import Checkpoint, origin_of
from twoturns.ledger.record import Record

_FORM: Final = "two-turns head of a job 1"
_COUNTED: Final = rf"(0|[1-9][0-9]{{0,14}}) ({forms.SHA256})"
_TEXT: Final = re.compile(
    rf"{_FORM}\n({forms.KEY})\n({forms.UUID7})\n(0|[1-9][0-9]{{0,14}})\n([A-Za-z0-9+/]{{43}}=)\n"
    rf"([0-9]{{4}}-[0-9]{{2}}-[0-9]{{2}})\nentries {_COUNTED}\nothers {_COUNTED}\n"
    rf"payload ({forms.SHA256})\n"
)
_ID_LINE: Final = re.compile(rf"(entry|other) {_COUNTED}")


@dataclass(frozen=True)
class Ids:
    """The ids of a job's entries, and of what leans on them, as `(index, id)` in ledger order."""

    entries: tuple[tuple[int, str], ...]
    others: tuple[tuple[int, str], ...]

    @classmethod
    def of(cls, job: str, records: Iterable[tuple[int, Record]]) -> Self:
        """Return the ids of a bag's records."""
        held = [(index, one.entry) for index, one in records]
        return cls(
            tuple((index, one.id) for index, one in held if one.job == job),
            tuple((index, one.id) for index, one in held if one.job != job),
        )

    @classmethod
    def read(cls, text: str) -> Self | None:
        """Read `ids.txt`; None if it has another form."""
        found: dict[str, list[tuple[int, str]]] = {"entry": [], "other": []}
        for line in text.split("\n"):
            form = _ID_LINE.fullmatch(line)
            if form:
                found[form[1]].append((int(form[2]), form[3]))
        ids = cls(tuple(found["entry"]), tuple(found["other"]))
        return ids if ids.text == text else None

    @property
    def text(self) -> str:
        """`ids.txt`: a line each, in the order of the ledger."""
        lines = [(index, f"entry {index} {name}\n") for index, name in self.entries]
        lines += [(index, f"other {index} {name}\n") for index, name in self.others]
        return "".join(line for _, line in sorted(lines))


@dataclass(frozen=True)
class JobHead:
    """What the workshop says of a job. `entries` and `others` are `COUNT SHA-256`."""

    workshop: str
    job: str
    checkpoint: Checkpoint
    made_on: str
    entries: str
    others: str
    payload: str

    @property
    def text(self) -> str:
        """The text that is signed."""
        root = b64encode(self.checkpoint.root).decode()
        return (
            f"{_FORM}\n{self.workshop}\n{self.job}\n{self.checkpoint.size}\n{root}\n"
            f"{self.made_on}\nentries {self.entries}\nothers {self.others}\n"
            f"payload {self.payload}\n"
        )


def counted(ids: Iterable[tuple[int, str]]) -> str:
    """
    Return how many ids there are, and the hash over them.

    >>> counted([])
    '0 e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855'
    """
    names = [f"{name}\n" for _, name in ids]
    return f"{len(names)} {hashlib.sha256(''.join(names).encode()).hexdigest()}"


def payload_hash(digests: Mapping[str, str]) -> str:
    """Return the hash over a bag's payload, given the SHA-256 of each file by its name."""
    others = {
        name: sha
        for name, sha in digests.items()
        if name.startswith(layout.PAYLOAD) and name != layout.HEAD
    }
    return layout.sha256(layout.manifest(others).encode())


def open_head(text: str, key: str, workshop: str) -> JobHead | None:
    """Return the head that a note says, if the key signed it for this workshop; else None."""
    parts = note.split(text)
    form = _TEXT.fullmatch(parts[0]) if parts else None
    if parts is None or form is None or form[1] != workshop:
        return None
    if not note.is_signed(*parts, key, origin_of(workshop)):
        return None
    size, root = int(form[3]), note.decoded(form[4])
    return JobHead(
        workshop=workshop,
        job=form[2],
        checkpoint=Checkpoint(size, root),
        made_on=form[5],
        entries=f"{form[6]} {form[7]}",
        others=f"{form[8]} {form[9]}",
        payload=form[10],
    )
