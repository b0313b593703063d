"""
Reading the texts of a stranger's bag: every one has one form, and anything else is a finding.
"""

import re
from base64 import b64decode, b64encode
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, get_args

from twoturns.bag import layout
from twoturns.bag.evidence import Disclosure, DisclosureState, Finding
from twoturns.bag.read import AGAIN, Bag
from twoturns.ledger import canonical, record
from twoturns.ledger.errors import LedgerError
from twoturns.ledger.forms import SHA256, is_formed
from twoturns.ledger.record import Record
from twoturns.words import t
from twoturns.words.en.bag import parse as words

_LINE: Final = re.compile(r"(0|[1-9][0-9]{0,15}) (.+)", re.DOTALL)
_NODE_BYTES: Final = 32


@dataclass(frozen=True)
class Parsed:
    """What could be read out of a bag's texts, and what could not."""

    job: str
    made_on: str
    records: tuple[tuple[int, Record], ...]
    checkpoint: str
    size: int
    paths: Mapping[int, tuple[bytes, ...]]
    disclosures: Mapping[str, Disclosure]
    findings: tuple[Finding, ...]

    @property
    def opened(self) -> Record | None:
        """The entry that opened the job."""
        return next(
            (
                one
                for _, one in self.records
                if one.entry.job == self.job and one.entry.kind == "job.opened"
            ),
            None,
        )


def parse(bag: Bag) -> Parsed:
    """Read the tag files of a bag. What does not hold is a finding, and the rest goes on."""
    findings: list[Finding] = []
    info = bag.texts.get(layout.BAG_INFO, b"").decode("utf-8", "replace")
    size, paths = proofs_of(bag.texts.get(layout.PROOFS, b""), findings)
    return Parsed(
        job=layout.info_field(info, "External-Identifier") or "",
        made_on=layout.info_field(info, "Bagging-Date") or "",
        records=tuple(records_of(bag.texts.get(layout.RECORDS, b""), findings)),
        checkpoint=bag.texts.get(layout.CHECKPOINT, b"").decode("utf-8", "replace"),
        size=size,
        paths=paths,
        disclosures=_disclosures(bag.texts.get(layout.DISCLOSURE, b""), findings),
        findings=tuple(findings),
    )


def records_of(
    text: bytes, findings: list[Finding], file: str = layout.RECORDS
) -> list[tuple[int, Record]]:
    """Return the records of `records.txt`, by index; what is odd in it is added to `findings`."""

    def odd(number: int, what: str, hint: str = AGAIN) -> None:
        findings.append(Finding("record", file, t(words.LINE, number=number, what=what), hint))

    records: list[tuple[int, Record]] = []
    lines = text.split(b"\n")
    if lines.pop():
        odd(len(lines) + 1, t(words.LAST_LINE_NO_END))
    for number, line in enumerate(lines, start=1):
        try:
            form = _LINE.fullmatch(line.decode())
            if form is None:
                raise ValueError(t(words.NOT_INDEX_AND_RECORD))
            index, one = int(form[1]), record.parse(form[2])
        except LedgerError as error:
            odd(number, str(error), error.hint)
        except ValueError as error:  # UnicodeDecodeError is one
            odd(number, str(error))
        else:
            if records and index <= records[-1][0]:
                odd(number, t(words.INDEX_OUT_OF_ORDER, index=index, records=records[-1][0]))
            else:
                records.append((index, one))
    return records


def proofs_of(
    text: bytes, findings: list[Finding], file: str = layout.PROOFS
) -> tuple[int, dict[int, tuple[bytes, ...]]]:
    """Return the size and the paths of `proofs.json`, by index; none where it has another form."""
    try:
        said = canonical.loads(text)
        size, listed = said["size"], said["inclusion"]
        paths = {one["index"]: tuple(map(_node, one["path"])) for one in listed}
        if said != _proofs_said(size, paths):
            raise ValueError(t(words.MALFORMED_PROOFS))
    except (LedgerError, ValueError, KeyError, TypeError, AttributeError) as error:
        findings.append(Finding("proofs", file, t(words.UNREADABLE, error=str(error)), AGAIN))
        return 0, {}
    return size, paths


def _node(text: str) -> bytes:
    node = b64decode(text, validate=True)
    if len(node) != _NODE_BYTES:
        raise ValueError(t(words.WRONG_NODE_SIZE, node=len(node)))
    return node


def proofs_json(size: int, paths: Mapping[int, tuple[bytes, ...]]) -> bytes:
    """Return `proofs.json`: the path of each record to the root of `size` records."""
    return canonical.dumps(_proofs_said(size, paths))


def _proofs_said(size: int, paths: Mapping[int, tuple[bytes, ...]]) -> dict[str, object]:
    return {
        "size": size,
        "inclusion": [
            {"index": index, "path": [b64encode(node).decode() for node in path]}
            for index, path in sorted(paths.items())
        ],
    }


def _disclosures(text: bytes, findings: list[Finding]) -> dict[str, Disclosure]:
    try:
        said = [Disclosure(**one) for one in canonical.loads(text)]
        for one in said:
            if not is_formed(one.blob, SHA256) or one.state not in get_args(DisclosureState):
                raise ValueError(
                    t(words.UNKNOWN_STATE, state=f"{one.state!r}", blob=f"{one.blob!r}")
                )
            if not isinstance(one.reason, str | None):
                raise TypeError(t(words.REASON_NOT_TEXT, reason=f"{one.reason!r}"))
        if disclosure_json(said) != text or len({one.blob for one in said}) < len(said):
            raise ValueError(t(words.MALFORMED_DISCLOSURE))
    except (LedgerError, ValueError, TypeError) as error:
        what = t(words.UNREADABLE, error=str(error))
        findings.append(Finding("disclosure", layout.DISCLOSURE, what, AGAIN))
        return {}
    return {one.blob: one for one in said}


def disclosure_json(disclosures: list[Disclosure]) -> bytes:
    """Return `disclosure.json`: what became of each blob, in the order of their names."""
    return canonical.dumps(
        [
            {"blob": one.blob, "state": one.state}
            | ({} if one.reason is None else {"reason": one.reason})
            for one in sorted(disclosures, key=lambda one: one.blob)
        ]
    )
