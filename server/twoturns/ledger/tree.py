"""
The Merkle tree over a ledger's records (RFC 6962 section 2.1; proofs verified as in RFC 9162
section 2.1.3.2 and 2.1.4.2).

A leaf is 0x00 and the record, a node 0x01 and its two children, hashed with SHA-256. The hash of
a complete subtree never changes, so each is kept once, under (level, number): node (l, n) covers
the leaves n * 2^l to (n + 1) * 2^l - 1. Roots and proofs of any earlier size come from the same
nodes.

"Leaf" here is always the leaf's hash, 32 bytes.
"""

import hashlib
from bisect import bisect_left
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Protocol

from twoturns.words import t
from twoturns.words.en.ledger import tree as words

from .errors import BadProof

EMPTY_ROOT = hashlib.sha256(b"").digest()


class Nodes(Protocol):
    """Where the hashes of complete subtrees are kept."""

    def get(self, level: int, number: int) -> bytes:
        """Return a node that was put."""

    def put(self, level: int, number: int, node: bytes) -> None:
        """Keep a node."""


class NodesInMemory:
    """Nodes in a dict, for a bag or a test."""

    def __init__(self) -> None:
        self._nodes: dict[tuple[int, int], bytes] = {}

    def get(self, level: int, number: int) -> bytes:
        """Return a node that was put."""
        return self._nodes[level, number]

    def put(self, level: int, number: int, node: bytes) -> None:
        """Keep a node."""
        self._nodes[level, number] = node


class Tree:
    """An append-only tree. `size` is the number of leaves."""

    def __init__(self, nodes: Nodes, size: int = 0) -> None:
        self._nodes = nodes
        self.size = size

    def append(self, leaf: bytes) -> int:
        """Add a leaf and every subtree that it completes; return its index."""
        index = number = self.size
        node, level = leaf, 0
        self._nodes.put(level, number, node)
        while number % 2:  # a right child: its parent is complete now
            node = _node_hash(self._nodes.get(level, number - 1), node)
            level, number = level + 1, number // 2
            self._nodes.put(level, number, node)
        self.size += 1
        return index

    def leaf(self, index: int) -> bytes:
        """Return a leaf that was appended."""
        return self._nodes.get(0, index)

    def root(self, size: int | None = None) -> bytes:
        """
        Return the root of the first `size` leaves; of all, if none is given.

        Raises:
            BadProof: If there are fewer.
        """
        size = self.size if size is None else size
        self._check(size >= 0, size)
        return self._subtree(0, size)

    def inclusion(self, index: int, size: int) -> list[bytes]:
        """
        Return the path from a leaf to the root of the first `size` leaves.

        Raises:
            BadProof: If there are fewer, or the leaf is not among them.
        """
        self._check(0 <= index < size, size)
        return self._path(index, 0, size)

    def inclusion_of(self, indices: Iterable[int], size: int) -> list[bytes]:
        """
        Return what proves several leaves at once: the roots of the subtrees that hold none of
        them, from left to right. A batch that came in one piece needs little more than one path.

        Raises:
            BadProof: If there are fewer, or one of the leaves is not among them.
        """
        wanted = sorted(set(indices))
        self._check(not wanted or 0 <= wanted[0] <= wanted[-1] < size, size)
        return list(self._around(wanted, 0, size))

    def consistency(self, old: int, new: int) -> list[bytes]:
        """
        Return the proof that the first `new` leaves start with the first `old`.

        Raises:
            BadProof: If there are fewer, or `old` is the larger.
        """
        self._check(0 <= old <= new, new)
        return [] if old in (0, new) else self._subproof(old, 0, new, is_known=True)

    def _check(self, is_right: bool, size: int) -> None:
        if not is_right or size > self.size:
            raise BadProof(
                t(words.NO_SUCH_PROOF, asked=size, size=self.size),
                hint=t(words.NO_SUCH_PROOF_HINT),
            )

    def _subtree(self, start: int, end: int) -> bytes:
        """Return the hash over the leaves from `start` to before `end`."""
        width = end - start
        if width == 0:
            return EMPTY_ROOT
        if width.bit_count() == 1:
            return self._nodes.get(width.bit_length() - 1, start // width)
        split = start + _split(width)
        return _node_hash(self._subtree(start, split), self._subtree(split, end))

    def _path(self, index: int, start: int, end: int) -> list[bytes]:
        if end - start == 1:
            return []
        split = start + _split(end - start)
        if index < split:
            return [*self._path(index, start, split), self._subtree(split, end)]
        return [*self._path(index, split, end), self._subtree(start, split)]

    def _around(self, wanted: list[int], start: int, end: int) -> Iterator[bytes]:
        if not wanted:
            yield self._subtree(start, end)
        elif end - start > 1:
            split = start + _split(end - start)
            first_right = bisect_left(wanted, split)
            yield from self._around(wanted[:first_right], start, split)
            yield from self._around(wanted[first_right:], split, end)

    def _subproof(self, old: int, start: int, end: int, *, is_known: bool) -> list[bytes]:
        """RFC 6962 section 2.1.2; `is_known`: this subtree's root is one the asker has."""
        if old == end:
            return [] if is_known else [self._subtree(start, end)]
        split = start + _split(end - start)
        if old <= split:
            left = self._subproof(old, start, split, is_known=is_known)
            return [*left, self._subtree(split, end)]
        right = self._subproof(old, split, end, is_known=False)
        return [*right, self._subtree(start, split)]


def peaks(size: int) -> list[tuple[int, int]]:
    """
    Return (level, number) of the complete subtrees that the first `size` leaves are made of, from
    left to right. Their root, and all that further leaves complete, comes from these nodes.
    """
    levels = [level for level in range(size.bit_length()) if size >> level & 1]
    return [(level, (size >> level) - 1) for level in reversed(levels)]


def leaf_hash(record: bytes) -> bytes:
    """Return the leaf of a record."""
    return hashlib.sha256(b"\x00" + record).digest()


def verify_inclusion(
    leaf: bytes, index: int, size: int, path: Sequence[bytes], root: bytes
) -> bool:
    """Say whether the path leads from the leaf at `index` to the root of `size` leaves."""
    if not 0 <= index < size:
        return False
    sides = _stand_left(index, size - 1)
    if len(sides) != len(path):
        return False
    node = leaf
    for is_left, sibling in zip(sides, path, strict=True):
        node = _node_hash(sibling, node) if is_left else _node_hash(node, sibling)
    return node == root


def verify_inclusion_of(
    leaves: Mapping[int, bytes], size: int, proof: Sequence[bytes], root: bytes
) -> bool:
    """Say whether a proof of `Tree.inclusion_of` leads from all these leaves to the root."""
    indices, rest = sorted(leaves), iter(proof)
    if not indices or not 0 <= indices[0] <= indices[-1] < size:
        return False

    def hash_over(wanted: list[int], start: int, end: int) -> bytes:
        if not wanted:
            return next(rest)
        if end - start == 1:
            return leaves[start]
        split = start + _split(end - start)
        first_right = bisect_left(wanted, split)
        left = hash_over(wanted[:first_right], start, split)
        return _node_hash(left, hash_over(wanted[first_right:], split, end))

    try:
        found = hash_over(indices, 0, size)
    except StopIteration:
        return False
    return found == root and next(rest, None) is None


def verify_consistency(
    old: int, new: int, old_root: bytes, new_root: bytes, path: Sequence[bytes]
) -> bool:
    """Say whether the tree of `new` leaves starts with that of `old` leaves."""
    if old == new:
        return not path and old_root == new_root
    if old == 0:
        return not path and old_root == EMPTY_ROOT
    if not 0 < old < new or not path:
        return False
    # A complete subtree is its own first node, and not sent: the asker has it as the old root.
    proof = [old_root, *path] if old.bit_count() == 1 else list(path)
    place, last = old - 1, new - 1
    while place % 2:
        place, last = place // 2, last // 2
    sides = _stand_left(place, last)
    if len(sides) != len(proof) - 1:
        return False
    old_node = new_node = proof[0]
    for is_left, sibling in zip(sides, proof[1:], strict=True):
        if is_left:
            old_node = _node_hash(sibling, old_node)
            new_node = _node_hash(sibling, new_node)
        else:
            new_node = _node_hash(new_node, sibling)
    return old_node == old_root and new_node == new_root


def _stand_left(place: int, last: int) -> list[bool]:
    """
    Say of each sibling on the way from a node to the root whether it stands left of the way:
    `place` is the node's, `last` that of the last node beside it.
    """
    sides = []
    while last:
        is_left = place % 2 == 1 or place == last
        sides.append(is_left)
        while is_left and place % 2 == 0:
            place, last = place // 2, last // 2
        place, last = place // 2, last // 2
    return sides


def _node_hash(left: bytes, right: bytes) -> bytes:
    return hashlib.sha256(b"\x01" + left + right).digest()


def _split(width: int) -> int:
    """Return the largest power of two below a width of at least 2."""
    return 1 << ((width - 1).bit_length() - 1)
