"""
Whether the ledger of a bag grew from (or into) one that the reader knows (RFC 6962).

What shows it is a consistency proof: from the workshop (`/api/consistency`), or in the bag, beside
the checkpoint that the bag was made for (`since.txt` and `consistency.json`).
"""

import json
from base64 import b64decode, b64encode
from collections.abc import Iterator
from typing import Final

from twoturns.bag import layout
from twoturns.bag.evidence import Finding
from twoturns.bag.read import AGAIN, Bag
from twoturns.ledger import canonical, checkpoint
from twoturns.ledger.checkpoint import Checkpoint
from twoturns.ledger.errors import LedgerError
from twoturns.ledger.roster import Roster
from twoturns.ledger.tree import verify_consistency
from twoturns.words import t
from twoturns.words.en.bag import growth as words

KEPT: Final = t(words.KEPT_CHECKPOINT)
_PROOF: Final = t(words.CONSISTENCY_PROOF)
_TWO: Final = t(words.TWO_LEDGERS_HINT)

Path = tuple[bytes, ...]


def opened_with_any_key(note: str, roster: Roster) -> Checkpoint | None:
    """Return what a checkpoint says, if any key that the workshop ever had signed it."""
    for key in roster.workshop_keys():
        try:
            return checkpoint.open(note, key, roster.workshop)
        except LedgerError:
            continue  # an older key of the workshop may have signed it
    return None


def compare(held: Checkpoint, head: Checkpoint, path: Path | None) -> Finding | None:
    """
    Hold the bag's head against one that was kept; None if one is proven to be of the other.

    Args:
        held: The checkpoint that was kept.
        head: The bag's.
        path: From the smaller to the larger; None if there is no proof.
    """
    old, new = sorted((held, head), key=lambda one: one.size)
    if old.size == new.size:
        what = t(words.OTHER_ROOT, size=held.size)
        return None if held.root == head.root else Finding("two-ledgers", KEPT, what, _TWO)
    if path is None:
        what = t(words.GROWTH_NOT_PROVEN, new=new.size, old=old.size)
        hint = t(words.GROWTH_NOT_PROVEN_HINT, old=old.size, new=new.size)
        return Finding("growth-not-proven", KEPT, what, hint)
    if verify_consistency(old.size, new.size, old.root, new.root, path):
        return None
    what = t(words.OTHER_BEGINNING, new=new.size, old=old.size)
    return Finding("two-ledgers", KEPT, what, _TWO)


def consistency_json(old: int, new: int, path: Path) -> bytes:
    """Return `consistency.json`: what leads from the root of one size to that of another."""
    nodes = [b64encode(node).decode() for node in path]
    return canonical.dumps({"from": old, "path": nodes, "to": new})


def path_of_answer(text: bytes) -> Path | None:
    """Return the path in an answer of `/api/consistency`; None if it is no such answer."""
    try:
        nodes: list[str] = json.loads(text)["path"]
        return tuple(b64decode(node, validate=True) for node in nodes)
    except (ValueError, KeyError, TypeError):
        return None


def no_path() -> Finding:
    """Return what is said of a proof of growth that cannot be read."""
    hint = t(words.BAD_PROOF_ANSWER_HINT)
    return Finding("consistency", _PROOF, t(words.BAD_PROOF_ANSWER), hint)


class Since:
    """The checkpoint that a bag was made for, and what leads from it to the bag's."""

    def __init__(self, bag: Bag, roster: Roster) -> None:
        self.is_there = not {layout.SINCE, layout.CONSISTENCY}.isdisjoint(bag.members)
        self.note = bag.texts.get(layout.SINCE, b"").decode("utf-8", "replace")
        self.said = bag.texts.get(layout.CONSISTENCY, b"")
        self.checkpoint = opened_with_any_key(self.note, roster)
        self.path = path_of_answer(self.said)

    def findings(self, head: Checkpoint) -> Iterator[Finding]:
        """Check it, if there is one: it stands in the bag as something that is proven."""
        if not self.is_there:
            return
        if self.checkpoint is None:
            yield Finding("since", layout.SINCE, t(words.NOT_SIGNED), AGAIN)
        elif self.path is None or self.said != consistency_json(
            self.checkpoint.size, head.size, self.path
        ):
            what = t(words.MALFORMED_PROOF)
            yield Finding("consistency", layout.CONSISTENCY, what, AGAIN)
        elif found := compare(self.checkpoint, head, self.path):
            yield Finding(found.code, layout.CONSISTENCY, found.what, found.hint)

    def path_from(self, held: Checkpoint) -> Path | None:
        """Return the path that leads from a held checkpoint, or None: it leads from another."""
        return self.path if held == self.checkpoint else None
