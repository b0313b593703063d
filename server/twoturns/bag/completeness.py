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

_CUT = "Somebody took it out after the workshop had made the bag. " + AGAIN
NOT_PROVEN = Finding(
    "completeness-not-proven",
    layout.HEAD,
    "the bag has no head of the job, so nothing shows what was left out of it: completeness not "
    "proven",
    "Ask the workshop for a new bag: since edition 2 each has one, signed.",
)


def has_head(bag: Bag) -> bool:
    """Say whether the bag is of a form that proves to be whole."""
    return not set(layout.SINCE_EDITION_2).isdisjoint(bag.members)


def missing_head() -> Finding:
    what = "the workshop makes one with each bag, and here is none"
    return Finding("no-head", layout.HEAD, what, _CUT)


def head_findings(
    bag: Bag, parsed: Parsed, checkpoint: Checkpoint, key: str, workshop: str
) -> Iterator[Finding]:
    """Hold the bag against the head: its signature, its place, then record by record."""
    for name in layout.SINCE_EDITION_2:
        if name not in bag.members:
            yield Finding("missing", name, "the bag does not hold this file", _CUT)
    if not {layout.HEAD, layout.IDS} <= bag.texts.keys():
        return
    head = open_head(bag.texts[layout.HEAD].decode("utf-8", "replace"), key, workshop)
    if head is None:
        what = "it is no head of a job that the workshop's key signed"
        yield Finding("head", layout.HEAD, what, _CUT)
        return
    yield from _of_another(head, parsed, checkpoint)
    if head.payload != payload_hash(bag.digests):
        what = "its files are not those of which the workshop made this bag"
        yield Finding("payload", layout.MANIFEST, what, _CUT)
    yield from _id_findings(bag.texts[layout.IDS], head, Ids.of(parsed.job, parsed.records))


def _of_another(head: JobHead, parsed: Parsed, checkpoint: Checkpoint) -> Iterator[Finding]:
    if head.job != parsed.job:
        yield Finding("head", layout.HEAD, f"it is of job {head.job}", _CUT)
    if head.checkpoint != checkpoint:
        what = f"it is of a ledger of {head.checkpoint.size} records, and not of the checkpoint's"
        yield Finding("head", layout.HEAD, what, _CUT)
    if head.made_on != parsed.made_on:
        yield Finding("head", layout.HEAD, f"it was made on {head.made_on}", _CUT)


def _id_findings(text: bytes, head: JobHead, held: Ids) -> Iterator[Finding]:
    listed = Ids.read(text.decode("utf-8", "replace"))
    if listed is None or (counted(listed.entries), counted(listed.others)) != (
        head.entries,
        head.others,
    ):
        yield Finding("ids", layout.IDS, "it is not the list that the head is of", _CUT)
        if head.entries != counted(held.entries):
            yield _counts("entries of the job", head.entries, held.entries)
        if head.others != counted(held.others):
            yield _counts("statements and neighbours", head.others, held.others)
        return
    yield from _compared("entry of the job", listed.entries, held.entries)
    yield from _compared("statement or neighbour", listed.others, held.others)


def _counts(of: str, said: str, held: tuple[tuple[int, str], ...]) -> Finding:
    size, _, _ = said.partition(" ")
    what = f"the head is of {size} {of}, here are {len(held)}, and not those"
    return Finding("left-out", layout.RECORDS, what, _CUT)


def _compared(
    what: str, listed: Iterable[tuple[int, str]], held: Iterable[tuple[int, str]]
) -> Iterator[Finding]:
    for index, name in sorted(set(listed) - set(held)):
        says = f"record {index}, the {what} {name}, was held by the workshop and is not here"
        yield Finding("left-out", layout.RECORDS, says, _CUT)
    for index, name in sorted(set(held) - set(listed)):
        says = f"record {index}, the {what} {name}, is here and not in the workshop's head"
        yield Finding("not-in-head", layout.RECORDS, says, _CUT)
