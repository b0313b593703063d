"""
What a stranger's zip can try: leaving its folder, links, bombs, secrets. Nothing of it is unpacked.

The cases are from OWASP ASVS 5.0.0, 5.2.3 and 5.3.3 (unpacked size, count, ratio, names, links).
"""

import io
import stat
import zipfile

import pytest

from bag_changes import named, zipped
from twoturns.bag import bounds
from twoturns.bag.evidence import BagUnreadable
from twoturns.bag.read import read_bag
from twoturns.bag.report import differs


@pytest.mark.parametrize(
    "name",
    [
        "../evil.txt",
        "bag/../../evil.txt",
        "/etc/evil",
        "bag//evil",
        "bag/./evil",
        "bag\\..\\evil",
        "evil.txt",
        "bag/data/blobs/../../evil",
    ],
)
def test_a_name_that_leaves_the_folder_is_refused(name):
    with pytest.raises(BagUnreadable, match=r"safe name|side by side"):
        read_bag(zipped(("bag/bagit.txt", b""), (named(name), b"x")))


def test_a_name_with_a_hidden_end_is_refused():
    out = zipped(("bag/evilXtxt", b"x"))
    out = io.BytesIO(out.getvalue().replace(b"bag/evilXtxt", b"bag/evil\0txt"))
    with pytest.raises(BagUnreadable, match="safe name"):
        read_bag(out)


@pytest.mark.parametrize("kind", [stat.S_IFLNK, stat.S_IFIFO, stat.S_IFCHR])
def test_links_and_devices_are_refused(kind):
    with pytest.raises(BagUnreadable, match="link or a device"):
        read_bag(zipped((named("bag/data/records.txt", kind=kind), b"/etc/passwd")))


def test_a_bomb_is_refused_by_its_ratio_before_it_is_unpacked(monkeypatch):
    monkeypatch.setattr(zipfile.ZipFile, "open", lambda *_: pytest.fail("unpacked"))
    bomb = io.BytesIO()
    with zipfile.ZipFile(bomb, "w", zipfile.ZIP_DEFLATED) as archive:
        monkeypatch.undo()
        archive.writestr("bag/data/photos/" + "ab" * 32 + ".jpg", bytes(40 << 20))
    assert len(bomb.getvalue()) < 100_000
    monkeypatch.setattr(zipfile.ZipFile, "open", lambda *_: pytest.fail("unpacked"))
    bomb.seek(0)
    with pytest.raises(BagUnreadable, match="would unpack to 41943040 bytes"):
        read_bag(bomb)


def test_too_many_files_are_refused(monkeypatch):
    monkeypatch.setattr(bounds, "MAX_FILES", 3)
    with pytest.raises(BagUnreadable, match="holds 4 files"):
        read_bag(zipped(*((f"bag/{n}", b"") for n in range(4))))


def test_too_much_in_all_is_refused(monkeypatch):
    monkeypatch.setattr(bounds, "MAX_UNPACKED", 10)
    with pytest.raises(BagUnreadable, match="would unpack to more"):
        read_bag(zipped(("bag/a", b"123456"), ("bag/b", b"123456")))


def test_a_text_too_large_to_hold_is_refused(monkeypatch):
    monkeypatch.setattr(bounds, "MAX_TEXT", 5)
    with pytest.raises(BagUnreadable, match="would unpack to 6 bytes"):
        read_bag(zipped(("bag/data/records.txt", b"123456")))


@pytest.mark.filterwarnings("ignore:Duplicate name")
def test_a_file_that_is_in_it_twice_is_refused():
    with pytest.raises(BagUnreadable, match="twice"):
        read_bag(zipped(("bag/bagit.txt", b"one"), ("bag/bagit.txt", b"two")))


def test_two_bags_side_by_side_are_refused():
    with pytest.raises(BagUnreadable, match="2 folders"):
        read_bag(zipped(("bag/bagit.txt", b""), ("other/bagit.txt", b"")))


def test_an_encrypted_file_is_refused():
    out = bytearray(zipped(("bag/bagit.txt", b"x")).getvalue())
    out[out.index(b"PK\x01\x02") + 8] |= 1
    with pytest.raises(BagUnreadable, match="encrypted"):
        read_bag(io.BytesIO(bytes(out)))


@pytest.mark.parametrize("data", [b"", b"hello", b"PK\x05\x06", b"\xff" * 2000])
def test_what_is_no_zip_is_refused_in_words(data):
    with pytest.raises(BagUnreadable, match="no whole zip file") as refused:
        read_bag(io.BytesIO(data))
    assert "Ask for the bag again" in refused.value.hint


def test_folders_as_members_of_their_own_are_no_finding():
    bag, findings = read_bag(
        zipped((named("bag/", kind=stat.S_IFDIR), b""), ("bag/bagit.txt", b""))
    )
    assert list(bag.members) == ["bagit.txt"]
    assert findings == []


def with_comment(whole):
    out = io.BytesIO(whole)
    with zipfile.ZipFile(out, "a") as archive:
        archive.comment = b"not for everyone"
    return out.getvalue()


def hidden_file(whole):
    """Return the zip with a file before its own that only a reader from the start meets."""
    other = zipped(("bag/data/report.html", b"<h1>All holds</h1>")).getvalue()
    return other[: other.index(b"PK\x01\x02")] + whole


@pytest.mark.parametrize(
    "change",
    [
        lambda whole: b"#!/bin/sh\n" + whole,
        lambda whole: whole + b"and more",
        lambda whole: whole.replace(b"PK\x01\x02", b"hidden" + b"PK\x01\x02", 1),
        with_comment,
        hidden_file,
    ],
    ids=["before", "behind", "between", "comment", "file"],
)
def test_bytes_that_belong_to_no_file_are_refused(change):
    whole = zipped(("bag/bagit.txt", b"x"), ("bag/data/records.txt", b"y")).getvalue()
    read_bag(io.BytesIO(whole))
    with pytest.raises(BagUnreadable, match=r"none of its files|no whole zip"):
        read_bag(io.BytesIO(change(whole)))


def test_a_bag_written_to_a_pipe_is_read():
    class Pipe(io.RawIOBase):
        def __init__(self):
            self.data = b""

        def writable(self):
            return True

        def write(self, data):
            self.data += bytes(data)
            return len(data)

    pipe = Pipe()
    with zipfile.ZipFile(pipe, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("bag/bagit.txt", b"x" * 100)
        archive.writestr("bag/data/records.txt", b"y")
    assert list(read_bag(io.BytesIO(pipe.data))[0].members) == ["bagit.txt", "data/records.txt"]


@pytest.mark.parametrize(
    ("found", "what"),
    [
        ("<p>a</p>\n<p>b</p>", None),
        ("<p>a</p>\n<p>c</p>", "line 2"),
        ("<p>a</p>", "line 2"),
        ("<p>a</p>\n<p>b</p>\n", "line 3"),
        ("<p>a</p>\v\n<p>b</p>", "line 1"),
    ],
)
def test_a_report_is_held_against_the_one_made_anew(found, what):
    said = differs(found, "<p>a</p>\n<p>b</p>")
    assert said is None if what is None else what in said
