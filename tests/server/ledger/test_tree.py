"""The tree against published RFC 6962 vectors and pymerkle, its proofs in both languages."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pymerkle import InmemoryTree

from ledger_vectors import vectors
from twoturns.ledger import tree
from twoturns.ledger.errors import BadProof
from twoturns.ledger.tree import NodesInMemory, Tree

PUBLISHED = vectors("published")["merkle"]
LEAVES = [tree.leaf_hash(bytes.fromhex(leaf)) for leaf in PUBLISHED["leaves"]]
ROOTS = [PUBLISHED["empty_root"], *PUBLISHED["roots_size_1_to_8"]]


def grown(leaves):
    made = Tree(NodesInMemory())
    for leaf in leaves:
        made.append(leaf)
    return made


def root_of(leaves):
    return grown(leaves).root()


def of(count):
    return [tree.leaf_hash(b"%d" % n) for n in range(count)]


def unhex(texts):
    return [bytes.fromhex(text) for text in texts]


def test_published_roots_of_every_size():
    whole = grown(LEAVES)
    for size, root in enumerate(ROOTS):
        assert root_of(LEAVES[:size]).hex() == root
        assert whole.root(size).hex() == root
    assert whole.root() == whole.root(8)
    assert tree.EMPTY_ROOT.hex() == PUBLISHED["empty_root"]


@pytest.mark.parametrize("case", PUBLISHED["inclusion"])
def test_published_inclusion(case, peer):
    index, size, path = case["index"], case["size"], unhex(case["path"])
    assert grown(LEAVES).inclusion(index, size) == path
    assert tree.verify_inclusion(LEAVES[index], index, size, path, bytes.fromhex(ROOTS[size]))
    said = (LEAVES[index].hex(), index, size, case["path"], ROOTS[size])
    assert peer.call("verifyInclusion", *said)


@pytest.mark.parametrize("case", PUBLISHED["consistency"])
def test_published_consistency(case, peer):
    old, new, path = case["size1"], case["size2"], unhex(case["path"])
    assert grown(LEAVES).consistency(old, new) == path
    roots = bytes.fromhex(ROOTS[old]), bytes.fromhex(ROOTS[new])
    assert tree.verify_consistency(old, new, *roots, path)
    assert peer.call("verifyConsistency", old, new, ROOTS[old], ROOTS[new], case["path"])


@given(st.integers(1, 70))
def test_roots_and_inclusion_as_pymerkle_has_them(count):
    theirs = InmemoryTree(algorithm="sha256")
    for n in range(count):
        theirs.append_entry(b"%d" % n)
    ours = grown(of(count))
    assert theirs.get_leaf(1) == of(1)[0]
    for size in range(1, count + 1):
        assert theirs.get_root(size) == ours.root(size)
    for index in range(count):
        # pymerkle counts from 1, and its path starts with the leaf itself.
        assert theirs.prove_inclusion(index + 1, count).path == [
            of(count)[index],
            *ours.inclusion(index, count),
        ]


def test_every_proof_of_every_small_tree_verifies_in_both_languages(peer):
    leaves = of(20)
    whole = grown(leaves)
    inclusions, consistencies = [], []
    for size in range(1, 21):
        for index in range(size):
            path = whole.inclusion(index, size)
            assert tree.verify_inclusion(leaves[index], index, size, path, whole.root(size))
            hexed = [node.hex() for node in path]
            inclusions.append([leaves[index].hex(), index, size, hexed, whole.root(size).hex()])
        for old in range(size + 1):
            path, roots = whole.consistency(old, size), (whole.root(old), whole.root(size))
            assert tree.verify_consistency(old, size, *roots, path)
            hexed = [node.hex() for node in path]
            consistencies.append([old, size, *(root.hex() for root in roots), hexed])
    assert set(peer.calls("verifyInclusion", inclusions)) == {True}
    assert set(peer.calls("verifyConsistency", consistencies)) == {True}


def wrong_paths(path, draw):
    """A path that differs from a right one."""
    how = draw(st.sampled_from(["flip", "drop", "add", "swap"]))
    path = list(path)
    if how == "add" or not path:
        path.insert(draw(st.integers(0, len(path))), bytes(32))
    elif how == "drop":
        del path[draw(st.integers(0, len(path) - 1))]
    elif how == "swap" and len(path) > 1:
        path[0], path[-1] = path[-1], path[0]
    else:
        at = draw(st.integers(0, len(path) - 1))
        path[at] = bytes([path[at][0] ^ 1]) + path[at][1:]
    return path


@given(st.data())
def test_a_wrong_proof_verifies_in_neither_language(peer, data):
    size = data.draw(st.integers(2, 40))
    whole, leaves = grown(of(size)), of(size)
    index, old = data.draw(st.integers(0, size - 1)), data.draw(st.integers(1, size - 1))
    path = wrong_paths(whole.inclusion(index, size), data.draw)
    assert not tree.verify_inclusion(leaves[index], index, size, path, whole.root())
    said = [leaves[index].hex(), index, size, [n.hex() for n in path], whole.root().hex()]
    assert not peer.call("verifyInclusion", *said)
    path = wrong_paths(whole.consistency(old, size), data.draw)
    roots = whole.root(old), whole.root()
    assert not tree.verify_consistency(old, size, *roots, path)
    said = [old, size, *(root.hex() for root in roots), [n.hex() for n in path]]
    assert not peer.call("verifyConsistency", *said)


@given(st.integers(1, 40), st.integers(1, 40), st.integers(0, 39))
def test_a_ledger_that_was_rewritten_is_not_consistent(peer, old, more, changed):
    before, after = of(old), of(old + more)
    changed %= old
    after[changed] = tree.leaf_hash(b"another")
    rewritten = grown(after)
    path = rewritten.consistency(old, old + more)
    roots = root_of(before), rewritten.root()
    assert not tree.verify_consistency(old, old + more, *roots, path)
    said = [old, old + more, *(root.hex() for root in roots), [n.hex() for n in path]]
    assert not peer.call("verifyConsistency", *said)


def test_a_leaf_at_another_index_or_size_does_not_verify(peer):
    whole, leaves = grown(of(11)), of(11)
    path = whole.inclusion(4, 11)
    # Not size 10: its path has the same shape. That a root is of a size, the checkpoint says.
    for index, size in [(5, 11), (4, 8), (4, 17), (-1, 11), (11, 11), (4, 0), (4, 4)]:
        assert not tree.verify_inclusion(leaves[4], index, size, path, whole.root())
        said = [leaves[4].hex(), index, size, [n.hex() for n in path], whole.root().hex()]
        assert not peer.call("verifyInclusion", *said)


@given(st.data())
def test_several_leaves_are_proven_at_once_and_only_those(peer, data):
    """Held against single paths, which are checked against published ones, in both languages."""
    size = data.draw(st.integers(1, 40))
    whole, leaves = grown(of(size)), of(size)
    wanted = data.draw(st.sets(st.integers(0, size - 1), min_size=1))
    said = {index: leaves[index] for index in wanted}
    proof, root = whole.inclusion_of(wanted, size), whole.root()

    def verdicts(said, proof):
        sent = [[i, leaf.hex()] for i, leaf in said.items()]
        there = peer.call("verifyInclusionOf", sent, size, [n.hex() for n in proof], root.hex())
        return tree.verify_inclusion_of(said, size, proof, root), there

    assert verdicts(said, proof) == (True, True)
    assert set(proof) <= {node for index in wanted for node in whole.inclusion(index, size)}
    assert verdicts(said, wrong_paths(proof, data.draw)) == (False, False)
    one = data.draw(st.sampled_from(sorted(wanted)))
    assert verdicts({**said, one: bytes(32)}, proof) == (False, False)
    assert verdicts({**said, size: leaves[0]}, proof) == (False, False)
    assert verdicts({}, proof) == (False, False)


def test_a_batch_at_the_end_is_proven_with_little_more_than_one_path():
    whole = grown(of(1000))
    assert len(whole.inclusion_of(range(950, 1000), 1000)) <= len(whole.inclusion(950, 1000))


def test_the_ends_of_consistency(peer):
    empty, some, other = tree.EMPTY_ROOT, root_of(of(3)), root_of(of(4))
    table = [
        (0, 0, empty, empty, [], True),
        (0, 3, empty, some, [], True),
        (0, 3, other, some, [], False),
        (3, 3, some, some, [], True),
        (3, 3, some, other, [], False),
        (3, 3, some, some, [other], False),
        (0, 3, empty, some, [other], False),
        (3, 4, some, other, [], False),
        (4, 3, other, some, [some], False),
    ]
    for old, new, old_root, new_root, path, verdict in table:
        assert tree.verify_consistency(old, new, old_root, new_root, path) is verdict
        said = [old, new, old_root.hex(), new_root.hex(), [n.hex() for n in path]]
        assert peer.call("verifyConsistency", *said) is verdict


def test_a_proof_beyond_the_ledger_is_refused():
    whole = grown(of(3))
    for ask in (
        lambda: whole.root(4),
        lambda: whole.root(-1),
        lambda: whole.inclusion(3, 3),
        lambda: whole.inclusion(0, 4),
        lambda: whole.inclusion(-1, 3),
        lambda: whole.inclusion_of([1, 3], 3),
        lambda: whole.inclusion_of([-1], 3),
        lambda: whole.consistency(2, 4),
        lambda: whole.consistency(3, 2),
    ):
        with pytest.raises(BadProof, match="the ledger has 3"):
            ask()


def test_a_tree_goes_on_from_kept_nodes():
    nodes = NodesInMemory()
    first = Tree(nodes)
    for leaf in of(5):
        first.append(leaf)
    again = Tree(nodes, size=5)
    assert again.append(of(6)[5]) == 5
    assert again.root() == root_of(of(6))


LEAVES_OF_PEAKS = [tree.leaf_hash(b"%d" % n) for n in range(70)]


def test_a_tree_goes_on_from_its_peaks_alone():
    # RFC 6962 section 2.1: a root is made of complete subtrees, one for each bit of the size.
    for size in range(70):
        whole, kept = NodesInMemory(), NodesInMemory()
        grown = Tree(whole)
        for leaf in LEAVES_OF_PEAKS[:size]:
            grown.append(leaf)
        for place in tree.peaks(size):
            kept.put(*place, whole.get(*place))
        going_on = Tree(kept, size)
        assert going_on.root() == grown.root()
        for leaf in LEAVES_OF_PEAKS[size:]:
            assert going_on.append(leaf) == grown.append(leaf)
            assert going_on.root() == grown.root()


def test_a_record_cannot_pass_for_a_node():
    left, right = of(2)
    assert tree.leaf_hash(left + right) != root_of([left, right])
