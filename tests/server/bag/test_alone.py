"""
The page of formats is enough: a verifier of 150 lines, written from formats.md with nothing of
the project in it, comes to the same verdict as ours, on good bags and on what is done to them.
"""

import ast
import io
import json
import sys
from hashlib import sha256
from pathlib import Path

import pytest

import bag_verifier
import key_verifier
from bag_changes import changes
from bag_cuts import CUTS, cut_of
from bags import mended, packed, resealed, unpacked, verdict_of, without
from twoturns.bag import layout
from twoturns.bag.head import Ids
from twoturns.bag.write import write_bag
from twoturns.store.gather import GROUPS, gather

pytestmark = pytest.mark.slow(8)

SOURCE = Path(bag_verifier.__file__)
VECTORS = SOURCE.parent / "vectors"


@pytest.fixture(scope="module")
def files(rich):
    return unpacked(rich.bag())


def alone(bag):
    """What the other verifier says: the workshop it found, or None where it refused."""
    try:
        return bag_verifier.check(io.BytesIO(bag))
    except Exception:  # noqa: BLE001 - whatever it stumbles over, it has not the form
        return None


def test_it_is_short_and_knows_nothing_of_the_project():
    text = SOURCE.read_text() + Path(key_verifier.__file__).read_text()
    assert len(SOURCE.read_text().splitlines()) <= 150
    imported = {
        alias.name.partition(".")[0]
        for node in ast.walk(ast.parse(text))
        if isinstance(node, ast.Import)
        for alias in node.names
    } | {
        node.module.partition(".")[0]
        for node in ast.walk(ast.parse(text))
        if isinstance(node, ast.ImportFrom)
    }
    assert imported - set(sys.stdlib_module_names) == {"cryptography", "key_verifier"}


@pytest.mark.parametrize("originals", [True, False])
@pytest.mark.parametrize("groups", [(), ("vin",), tuple(GROUPS)])
def test_both_take_a_good_bag(rich, originals, groups):
    bag = rich.bag(originals=originals, groups=groups)
    assert verdict_of(bag).holds
    assert alone(bag) == rich.workshop.store.ledger.workshop


def test_both_take_a_bag_made_since_a_checkpoint(rich):
    ledger, out = rich.workshop.store.ledger, io.BytesIO()
    kept = ledger.checkpoint()
    ledger.state("retention.set", {"days": 4000}, rich.workshop.now)
    ways = {"groups": (), "originals": False, "made_on": "2026-11-24"}
    write_bag(gather(rich.workshop.store, rich.work.job, **ways, since=kept), out)
    assert verdict_of(out.getvalue()).holds
    assert alone(out.getvalue()) == ledger.workshop


def test_both_refuse_what_was_cut(rich, files):
    for name, cut in CUTS.items():
        gone = cut_of(files, rich.work.job, cut)
        thinner = without(files, gone)
        listed = Ids.read(thinner[layout.IDS].decode())
        fitting = Ids(
            tuple(one for one in listed.entries if one[0] not in gone),
            tuple(one for one in listed.others if one[0] not in gone),
        )
        headless = {n: d for n, d in thinner.items() if n not in layout.SINCE_EDITION_2}
        for bag in (
            packed(thinner),
            resealed({**thinner, layout.IDS: fitting.text.encode()}),
            packed(mended(headless)),
        ):
            assert (verdict_of(bag).holds, alone(bag)) == (False, None), name


def test_both_refuse_what_was_changed_and_sealed_again(files):
    told = 0
    for what, changed in changes(files):
        try:
            bag = resealed(changed)
        except KeyError:  # a tag file is missing: nothing to seal
            bag = packed(changed)
        if unpacked(bag) == files:
            continue  # the manifests were the change, and sealing mended them
        told += 1
        assert (verdict_of(bag).holds, alone(bag)) == (False, None), what
    assert told > 140


def test_the_worked_bag_is_taken_for_ever():
    """Its page may be of an older form, and its account of an older edition: then they say so."""
    bag = (VECTORS / "bag.zip").read_bytes()
    said = json.loads((VECTORS / "bag.json").read_text())
    verdict = verdict_of(bag, key=said["workshop"])
    changed = "raise FORM in report.py (a sentence), or EDITION in account.py (what it holds)"
    assert verdict.findings == (), changed
    assert verdict.holds
    assert verdict.as_of == (said["made_on"], said["size"])
    ids = Ids.read(unpacked(bag)[layout.IDS].decode())
    assert (len(ids.entries), len(ids.others)) == (said["entries"], said["others"])
    assert verdict.account.root == said["root"]
    assert set(said["exceptions"]) <= {one.code for one in verdict.account.exceptions}
    assert alone(bag) == said["workshop"]


def test_the_record_that_the_page_of_formats_works_through_is_that_of_the_worked_bag():
    page = (SOURCE.parents[1] / "server" / "docs" / "formats.md").read_text()
    record = unpacked((VECTORS / "bag.zip").read_bytes())["data/records.txt"].split(b"\n")[0]
    index, _, data = record.partition(b" ")
    assert index == b"0"
    leaf = sha256(b"\x00" + data).hexdigest()
    entry = sha256(data.split(b" ", 3)[3]).hexdigest()
    assert f"begins with `{data[:40].decode()}`, has {len(data)} bytes, the id\n`{entry}`" in page
    assert f"the leaf `{leaf}`" in page
