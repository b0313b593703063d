"""
The page that checks bags in a browser comes to what the command line comes to: its TypeScript, in
Node, over good bags, over all that is cut out and changed, and over what a hostile zip tries.

Outside: SHA-256 in pieces against the examples of NIST (FIPS 180-4, "SHA-256 Example", and the
million letters of its two-block file) and against `hashlib`.
"""

import hashlib
import io
import random
import stat
import zipfile
import zlib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bag_changes import changes, named, zipped
from bag_cuts import CUTS, cut_of
from bags import BagWorkshop, mended, packed, resealed, stolen, unpacked, verdict_of, without
from twoturns.bag import layout
from twoturns.bag.many import verify_many, write_many
from twoturns.bag.sample import draw
from twoturns.bag.write import write_bag
from twoturns.store.gather import gather
from twoturns.store.succession import commit, recover

pytestmark = pytest.mark.slow(20)

VECTORS = Path(__file__).parents[2] / "vectors"
#: What the browser does not make anew: it says so, and the workshop's head is over both.
NOT_MADE = {"account-differs", "report-differs"}
#: What these say ends with the words of a library.
BY_LIBRARY = {"bag-unreadable", "unreadable", "record", "proofs", "disclosure"}


@pytest.fixture(scope="module")
def files(rich):
    return unpacked(rich.bag())


@pytest.fixture(scope="module")
def in_browser(peer, tmp_path_factory):
    """Return what the browser's check says of a bag's bytes."""
    place = tmp_path_factory.mktemp("bags") / "bag.zip"

    def verdict(bag, function="verifyBag", **held):
        place.write_bytes(bag)
        return peer.call(function, str(place), held)

    return verdict


def told(findings):
    """Return findings as they must be alike: of those that end with a library's words without."""
    return sorted(
        (one["code"], one["file"], "" if one["code"] in BY_LIBRARY else one["what"], one["hint"])
        for one in findings
        if one["code"] not in NOT_MADE
    )


def as_here(verdict):
    return told([vars(one) for one in (*verdict.findings, *verdict.unshown)])


def assert_alike(bag, in_browser, what="", **held):
    here = verdict_of(bag, **held)
    there = in_browser(bag, **held)
    assert told([*there["findings"], *there["unshown"]]) == as_here(here), what
    made = any(one.code in NOT_MADE for one in here.findings)
    assert (there["findings"] + there["unshown"] == []) is (
        here.holds or (made and not as_here(here))
    )
    return here, there


@pytest.mark.parametrize("originals", [True, False])
@pytest.mark.parametrize("groups", [(), ("vin",), ("vin", "notes")])
def test_both_take_a_good_bag(rich, in_browser, originals, groups):
    bag = rich.bag(originals=originals, groups=groups)
    here, there = assert_alike(bag, in_browser, key=rich.workshop.store.ledger.workshop)
    assert here.holds
    assert there["workshop"] == here.workshop
    assert (there["asOf"]["madeOn"], there["asOf"]["size"]) == here.as_of
    assert there["isTrusted"] is here.is_trusted is True
    made_here = [one for one in here.proven if one.startswith(("The account", "The report"))]
    assert there["proven"] == [one for one in here.proven if one not in made_here]
    assert any("not made anew here" in one for one in there["unchecked"])


def test_another_fingerprint_is_told(rich, in_browser):
    here, _ = assert_alike(rich.bag(), in_browser, key="A" * 43)
    assert {one.code for one in here.findings} == {"other-workshop"}


def test_growth_is_judged_alike(rich, in_browser):
    ledger, out = rich.workshop.store.ledger, io.BytesIO()
    kept = ledger.checkpoint()
    older = rich.bag()
    ledger.state("retention.set", {"days": 4000}, rich.workshop.now)
    ways = {"groups": (), "originals": False, "made_on": "2026-11-24"}
    write_bag(gather(rich.workshop.store, rich.work.job, **ways, since=kept), out)
    here, there = assert_alike(out.getvalue(), in_browser, kept=kept)
    assert here.holds
    assert [one for one in there["proven"] if "grew out of" in one]
    newest = ledger.checkpoint()
    here, _ = assert_alike(older, in_browser, kept=newest)
    assert {one.code for one in here.unshown} == {"growth-not-proven"}
    forged = newest.replace(newest.splitlines()[2], kept.splitlines()[2])
    assert_alike(older, in_browser, kept=forged)
    spoiled = unpacked(out.getvalue())
    for name in (layout.SINCE, layout.CONSISTENCY):
        for data in (b"", spoiled[name][:-9] + b"AAAAAAAA\n", b"{}"):
            assert_alike(resealed({**spoiled, name: data}), in_browser, f"{name} {data!r}")


def test_both_name_what_was_cut(rich, files, in_browser):
    for name in [*CUTS][::2]:
        thinner = without(files, cut_of(files, rich.work.job, CUTS[name]))
        here, _ = assert_alike(packed(thinner), in_browser, name)
        assert not here.holds
    headless = {n: d for n, d in thinner.items() if n not in layout.SINCE_EDITION_2}
    here, _ = assert_alike(packed(mended(headless)), in_browser)
    assert {one.code for one in here.findings} == {"no-head"}


def test_both_name_what_was_changed(files, in_browser):
    """A third of them: the command line is held to all, in `test_alone`."""
    chosen = [one for one in changes(files) if one[1] != files][::3]
    for count, (what, changed) in enumerate(chosen):
        try:
            bag = resealed(changed) if count % 2 else packed(changed)
        except KeyError:  # a tag file is missing: nothing to seal
            bag = packed(changed)
        here, _ = assert_alike(bag, in_browser, what)
        assert not here.holds or unpacked(bag) == files
    assert len(chosen) > 45


def test_a_bag_that_was_packed_again_is_the_same_bag(files, in_browser):
    here, there = assert_alike(packed(files, method=zipfile.ZIP_DEFLATED), in_browser)
    assert here.holds
    assert there["findings"] == []


GOLDEN_BAGS = sorted((VECTORS.parent / "golden").glob("*/bag.zip"))


@pytest.mark.parametrize(
    "path", [VECTORS / "bag.zip", *GOLDEN_BAGS], ids=lambda path: path.parts[-2]
)
def test_bags_of_former_programs_are_judged_alike(in_browser, path):
    """One of before edition 2 has no head: nothing shows that it is whole."""
    here, there = assert_alike(path.read_bytes(), in_browser)
    assert here.findings == ()
    assert there["findings"] == []


def test_a_workshop_whose_key_was_stolen_and_recovered(tmp_path, in_browser):
    workshop = BagWorkshop(tmp_path / "data")
    commit(workshop.store, b"p" * 16, before=None, now=workshop.now)
    work, fingerprint, trusted = stolen(workshop)
    assert_alike(workshop.bag(work), in_browser, key=fingerprint)
    recover(workshop.store, b"p" * 16, then=b"n" * 16, size=trusted, now=workshop.now)
    here, there = assert_alike(workshop.bag(work), in_browser, key=fingerprint)
    assert here.holds
    assert [one for one in there["proven"] if "recovered by the key on paper" in one]


def hostile(files):
    """Yield zips that no reader should look into, by what they try."""
    for name in ("../evil.txt", "bag/../../evil.txt", "/etc/evil", "bag//evil", "bag\\..\\evil"):
        yield name, zipped(("bag/bagit.txt", b""), (named(name), b"x")).getvalue()
    yield "two tops", zipped(("bag/bagit.txt", b""), ("other/bagit.txt", b"")).getvalue()
    yield "no folder", zipped(("bagit.txt", b"")).getvalue()
    yield "a link", zipped((named("bag/evil", kind=stat.S_IFLNK), b"/etc/passwd")).getvalue()
    bomb = zipped(("bag/data/report.html", bytes(50 << 20)), method=zipfile.ZIP_DEFLATED)
    yield "a bomb", bomb.getvalue()
    good = packed(files)
    yield "bytes before", b"GIF89a" + good
    yield "bytes behind", good + b"\0"
    yield "half of it", good[: len(good) // 2]
    yield "nothing", b""
    yield "text", b"this is no zip, and much longer than the end of one" * 3
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("bag/bagit.txt", b"")
        archive.comment = b"hello"
    yield "a comment", out.getvalue()
    yield "another checksum", good.replace(b"BagIt-Version: 1.0", b"BagIt-Version: 1.1", 1)
    yield "a name twice", _twice(good)
    lied = zipped(("bag/data/records.txt", b"a" * 4000), method=zipfile.ZIP_DEFLATED).getvalue()
    yield "a size that is too small", lied.replace((4000).to_bytes(4, "little"), b"\x10\0\0\0")
    yield "a size that is too large", lied.replace((4000).to_bytes(4, "little"), b"\0\x40\0\0")


def _twice(good):
    one, other = b"bag/data/head.txt", b"bag/data/ids.txt\0"
    return good.replace(one, other)


def test_what_is_unsafe_is_looked_into_by_neither(files, in_browser):
    for what, bag in hostile(files):
        here, there = assert_alike(bag, in_browser, what)
        assert not here.holds, what
        assert there["findings"], what


def test_a_bag_with_any_byte_changed_is_judged_alike(files, in_browser):
    chance = random.Random(16)
    good = packed(files)
    for _ in range(20):
        bag, place = bytearray(good), chance.randrange(len(good))
        bag[place] ^= 1 << chance.randrange(8)
        here, there = verdict_of(bytes(bag)), in_browser(bytes(bag))
        assert here.holds is (there["findings"] + there["unshown"] == []), place


@settings(max_examples=30)
@given(st.binary(max_size=400), st.lists(st.integers(0, 130), max_size=6))
def test_sha256_in_pieces_is_that_of_the_whole(peer, data, sizes):
    assert peer.call("sha256InPieces", data.hex(), sizes) == hashlib.sha256(data).hexdigest()


def test_sha256_in_pieces_is_nists(peer):
    two_blocks = b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq"
    said = "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"
    assert peer.call("sha256InPieces", two_blocks.hex(), [3]) == said
    million = "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"
    assert peer.call("sha256InPieces", (b"a" * 1_000_000).hex(), [65_537, 1]) == million


@settings(max_examples=20)
@given(st.text(min_size=1, max_size=20), st.integers(1, 9))
def test_both_draw_the_same_sample(peer, word, count):
    jobs = [f"{n:08x}-0000-7000-8000-{n:012x}" for n in range(7)]
    root = zlib.crc32(word.encode()).to_bytes(4, "big") * 8
    assert peer.call("draw", jobs, root.hex(), word, count) == draw(jobs, root, word, count)


def test_both_judge_a_file_of_bags(rich, in_browser):
    out = io.BytesIO()
    jobs = [("WEIR-12", rich.work), ("WEIR-11", rich.before)]
    bags = [(work.job, name, _writes(rich.workshop.bag(work))) for name, work in jobs]
    write_many(bags, {}, "bags", out)
    for bag in (out.getvalue(), *_spoiled(out.getvalue())):
        here = verify_many(io.BytesIO(bag))
        there = in_browser(bag, "verifyMany")
        said = {one["code"] for one in there["findings"]}
        assert said == {one.code for one in here.findings}
        assert [one["name"] for one in there["bags"]] == [name for name, _ in here.bags]
        for (_, mine), theirs in zip(here.bags, there["bags"], strict=True):
            found = theirs["verdict"]["findings"] + theirs["verdict"]["unshown"]
            assert told(found) == as_here(mine)
    assert verify_many(io.BytesIO(out.getvalue())).holds


def _writes(bag):
    return lambda out: out.write(bag)


def _spoiled(many):
    files = unpacked(many)
    names = sorted(name for name in files if name.endswith(".zip"))
    yield packed({n: d for n, d in files.items() if n != names[0]})
    yield packed({**files, "more.txt": b"x"})
    yield packed({**files, names[0]: files[names[1]]})
    yield packed({**files, "bags.json": files["bags.json"].replace(b'"v":1', b'"v":2')})
    yield packed({**files, "bags.json": b"[]"})
    yield packed(files, method=zipfile.ZIP_DEFLATED)
    yield packed({**files, names[1]: files[names[1]][:-30]})
    climbing = [("many/bags.json", files["bags.json"]), (named("many/../../x.zip"), b"x")]
    yield zipped(*climbing).getvalue()
    yield zipped(("many/bags.json", files["bags.json"]), ("other/x.zip", b"x")).getvalue()
    bomb = (names[0], bytes(40 << 20))
    yield packed({**files, bomb[0]: bomb[1]}, method=zipfile.ZIP_DEFLATED)
