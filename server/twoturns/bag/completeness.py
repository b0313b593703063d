"""
Whether a bag holds all that the workshop held of its job, by the workshop's own head of it.

A bag of an edition before has no head, and neither has one from which it was taken away: without
it nothing shows what was left out. Of a workshop that says that it is of edition 2 or later every
bag has one.
"""

from collections.abc import Iterable, Iterator

from twoturns.bag import layout
from twoturns.bag.evidence import Finding
from twoturns.bag.head import Ids, JobHead, counted, open_head, payload_hash
from twoturns.bag.parse import Parsed
from twoturns.bag.read import AGAIN, Bag
from twoturns.ledger.checkpoint import Checkpoint
from twoturns.words import t
from twoturns.words.en.bag import completeness as words

_CUT = t(words.TAKEN_OUT, again=AGAIN)
NOT_PROVEN = Finding(
    "completeness-not-proven",
    layout.HEAD,
    t(words.NO_HEAD),
    t(words.NO_HEAD_HINT),
)


def has_head(bag: Bag) -> bool:
    """Say whether the bag is of a form that proves to be whole."""
    return not set(layout.SINCE_EDITION_2).isdisjoint(bag.members)


def missing_head() -> Finding:
    """Return what is said of a bag without a head: a head cut off looks like an older bag."""
    what = t(words.HEAD_MISSING)
    return Finding("no-head", layout.HEAD, what, _CUT)


def head_findings(
    bag: Bag, parsed: Parsed, checkpoint: Checkpoint, key: str, workshop: str
) -> Iterator[Finding]:
    """Hold the bag against the head: its signature, its place, then record by record."""
    for name in layout.SINCE_EDITION_2:
        if name not in bag.members:
            yield Finding("missing", name, t(words.FILE_MISSING), _CUT)
    if not {layout.HEAD, layout.IDS} <= bag.texts.keys():
        return
    head = open_head(bag.texts[layout.HEAD].decode("utf-8", "replace"), key, workshop)
    if head is None:
        what = t(words.HEAD_NOT_SIGNED)
        yield Finding("head", layout.HEAD, what, _CUT)
        return
    yield from _of_another(head, parsed, checkpoint)
    if head.payload != payload_hash(bag.digests):
        what = t(words.OTHER_FILES)
        yield Finding("payload", layout.MANIFEST, what, _CUT)
    yield from _id_findings(bag.texts[layout.IDS], head, Ids.of(parsed.job, parsed.records))


def _of_another(head: JobHead, parsed: Parsed, checkpoint: Checkpoint) -> Iterator[Finding]:
    if head.job != parsed.job:
        yield Finding("head", layout.HEAD, t(words.OTHER_JOB, job=head.job), _CUT)
    if head.checkpoint != checkpoint:
        what = t(words.OTHER_LEDGER, size=head.checkpoint.size)
        yield Finding("head", layout.HEAD, what, _CUT)
    if head.made_on != parsed.made_on:
        yield Finding("head", layout.HEAD, t(words.OTHER_DAY, made_on=head.made_on), _CUT)


def _id_findings(text: bytes, head: JobHead, held: Ids) -> Iterator[Finding]:
    listed = Ids.read(text.decode("utf-8", "replace"))
    if listed is None or (counted(listed.entries), counted(listed.others)) != (
        head.entries,
        head.others,
    ):
        yield Finding("ids", layout.IDS, t(words.OTHER_LIST), _CUT)
        if head.entries != counted(held.entries):
            yield _counts(words.ENTRIES_DIFFER, head.entries, held.entries)
        if head.others != counted(held.others):
            yield _counts(words.OTHERS_DIFFER, head.others, held.others)
        return
    yield from _compared(listed.entries, held.entries, of_job=True)
    yield from _compared(listed.others, held.others, of_job=False)


def _counts(message: str, said: str, held: tuple[tuple[int, str], ...]) -> Finding:
    size, _, _ = said.partition(" ")
    what = t(message, size=size, held=len(held))
    return Finding("left-out", layout.RECORDS, what, _CUT)


def _compared(
    listed: Iterable[tuple[int, str]], held: Iterable[tuple[int, str]], *, of_job: bool
) -> Iterator[Finding]:
    for index, name in sorted(set(listed) - set(held)):
        says = t(words.LEFT_OUT, index=index, job=of_job, name=name)
        yield Finding("left-out", layout.RECORDS, says, _CUT)
    for index, name in sorted(set(held) - set(listed)):
        says = t(words.PUT_IN, index=index, job=of_job, name=name)
        yield Finding("not-in-head", layout.RECORDS, says, _CUT)
