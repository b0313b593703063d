"""
The sheet of a sample: what proves which jobs were frozen, by which word they were drawn, and when.

It lies in the folder `sample` of a file of bags (`bag.many`), in the forms of a bag (`bag.parse`):
`records.txt` (the freeze, the draws by it, what was found in it and answered, and what leads to the
keys), `proofs.json`, `checkpoint.txt`, `consistency.json` (from the size that was frozen) and
`rule.txt`, the rule of the draw for people.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from twoturns.bag.contents import roster_of
from twoturns.bag.evidence import Finding
from twoturns.bag.growth import consistency_json, path_of_answer
from twoturns.bag.parse import proofs_json, proofs_of, records_of
from twoturns.bag.read import AGAIN
from twoturns.bag.sample import draw
from twoturns.ledger import checkpoint, entry
from twoturns.ledger.checkpoint import Checkpoint
from twoturns.ledger.entry import Entry
from twoturns.ledger.errors import LedgerError
from twoturns.ledger.record import Record
from twoturns.ledger.roster import Roster
from twoturns.ledger.tree import verify_consistency, verify_inclusion
from twoturns.words import t
from twoturns.words.en.bag import sheet as words

FOLDER: Final = "sample/"
RECORDS: Final = f"{FOLDER}records.txt"
PROOFS: Final = f"{FOLDER}proofs.json"
CHECKPOINT: Final = f"{FOLDER}checkpoint.txt"
CONSISTENCY: Final = f"{FOLDER}consistency.json"
RULE: Final = f"{FOLDER}rule.txt"
FILES: Final = (RECORDS, PROOFS, CHECKPOINT, CONSISTENCY, RULE)

Path = tuple[bytes, ...]


@dataclass(frozen=True)
class Drawn:
    """A sample: its freeze and its draw, each with its index, and the jobs in their order."""

    frozen: tuple[int, Record]
    said: tuple[int, Record]
    jobs: tuple[str, ...]
    size: int
    """Of the ledger that the sheet is proven against."""


def drawn_by(frozen: Entry, said: Entry) -> tuple[str, ...]:
    """Return the jobs that an `audit.drawn` draws out of an `audit.frozen`."""
    root, body = bytes.fromhex(frozen.body["root"]), said.body
    return tuple(draw(frozen.body["jobs"], root, body["word"], body["count"]))


def sheet_files(
    records: Mapping[int, Record],
    paths: Mapping[int, Path],
    head: Checkpoint,
    note: str,
    grew: Path,
) -> dict[str, bytes]:
    """
    Return the files of a sheet.

    Args:
        records: By index; one of them is the freeze.
        paths: The audit path of each.
        head: What `note` says.
        note: The signed checkpoint.
        grew: What leads from the frozen size to the checkpoint's.
    """
    frozen = next(one.entry for one in records.values() if one.entry.kind == "audit.frozen")
    lines = "".join(f"{index} {one.text}\n" for index, one in sorted(records.items()))
    return {
        RECORDS: lines.encode(),
        PROOFS: proofs_json(head.size, paths),
        CHECKPOINT: note.encode(),
        CONSISTENCY: consistency_json(frozen.body["size"], head.size, grew),
        RULE: t(words.RULE).encode(),
    }


def judge_sheet(files: Mapping[str, bytes]) -> tuple[Drawn | None, str, list[Finding]]:
    """
    Judge the files of a sheet.

    Returns:
        The sample, if it is proven; the workshop that it says it is of; and what does not hold.
    """
    findings = [
        Finding("missing", name, t(words.FILE_MISSING), AGAIN)
        for name in FILES
        if name not in files
    ]
    records = records_of(files.get(RECORDS, b""), findings, RECORDS)
    if findings or not records:
        return None, "", findings or [Finding("no-freeze", RECORDS, t(words.NO_FREEZE), AGAIN)]
    workshop = records[0][1].entry.workshop
    sheet = _Sheet(files, records, roster_of(workshop, records))
    findings += sheet.findings()
    return (sheet.drawn() if not findings else None), workshop, findings


class _Sheet:
    """The checks of one sheet; each goes on from what those before it left standing."""

    def __init__(
        self, files: Mapping[str, bytes], records: list[tuple[int, Record]], roster: Roster
    ) -> None:
        self.files, self.records, self.roster = files, records, roster
        self.frozen = next((one for one in records if self._counts(one, "audit.frozen")), None)
        draws = [one for one in records if self._counts(one, "audit.drawn")]
        # The first of the one who froze counts: who did not like what it drew might give another.
        self.said = next((one for one in draws if self._is_of_freeze(one)), None)
        self.size = 0

    def _counts(self, one: tuple[int, Record], kind: str) -> bool:
        index, record = one
        return record.entry.kind == kind and self.roster.has_right(record.entry, index)

    def _is_of_freeze(self, one: tuple[int, Record]) -> bool:
        return (
            self.frozen is not None
            and one[1].entry.body["freeze"] == self.frozen[1].entry.id
            and one[1].entry.person == self.frozen[1].entry.person
            and one[0] > self.frozen[0]
        )

    def drawn(self) -> Drawn | None:
        if self.frozen is None or self.said is None:
            return None
        jobs = drawn_by(self.frozen[1].entry, self.said[1].entry)
        return Drawn(self.frozen, self.said, jobs, self.size)

    def findings(self) -> list[Finding]:
        found = [*self._forged(), *self._proven()]
        if self.files[RULE] != t(words.RULE).encode():
            found.append(Finding("rule", RULE, t(words.OTHER_RULE), t(words.OTHER_RULE_HINT)))
        if self.frozen is None:
            found.append(Finding("no-freeze", RECORDS, t(words.NO_FREEZE), AGAIN))
        elif self.said is None:
            found.append(Finding("no-draw", RECORDS, t(words.NO_DRAW), t(words.NO_DRAW_HINT)))
        return found

    def _forged(self) -> Iterator[Finding]:
        for index, one in self.records:
            key = self.roster.key_of(one.entry)
            is_known = key is not None and self.roster.device(one.entry.device) is not None
            if not (is_known and entry.verify(one.entry, key or "")):
                what = t(words.NOT_SIGNED, index=index)
                yield Finding("wrong-signature", RECORDS, what, AGAIN)

    def _proven(self) -> Iterator[Finding]:
        try:
            key = self.roster.workshop_key or ""
            note = self.files[CHECKPOINT].decode("utf-8", "replace")
            head = checkpoint.open(note, key, self.roster.workshop)
        except LedgerError as error:
            yield Finding("checkpoint", CHECKPOINT, str(error), error.hint)
            return
        self.size = head.size
        odd: list[Finding] = []
        size, paths = proofs_of(self.files[PROOFS], odd, PROOFS)
        yield from odd
        for index, one in self.records:
            path = paths.get(index, ())
            if size != head.size or not verify_inclusion(
                one.leaf, index, head.size, path, head.root
            ):
                what = t(words.NOT_IN_LEDGER, index=index)
                yield Finding("not-included", RECORDS, what, AGAIN)
        if self.frozen is not None and not self._grew(self.frozen, head):
            what = t(words.OTHER_ROOT)
            yield Finding("frozen-root", CONSISTENCY, what, t(words.OTHER_ROOT_HINT))

    def _grew(self, frozen: tuple[int, Record], head: Checkpoint) -> bool:
        """Say whether the frozen root is that of this ledger, before the freeze came in."""
        index, body = frozen[0], frozen[1].entry.body
        path = path_of_answer(self.files[CONSISTENCY])
        if path is None or body["size"] > index:
            return False
        if self.files[CONSISTENCY] != consistency_json(body["size"], head.size, path):
            return False
        root = bytes.fromhex(body["root"])
        return verify_consistency(body["size"], head.size, root, head.root, path)
