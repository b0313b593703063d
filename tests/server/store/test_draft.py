"""
What may come in as a draft: hostile archives and pictures (OWASP ASVS 5.0.0, 5.2.2 to 5.3.3).

The archives are made by Python's `zipfile`, and changed by hand where it would refuse to.
"""

import io
import stat
import struct
import time
import zipfile
from contextlib import suppress

import pytest

from photos import bomb, photo
from twoturns.store.draft import MOST_BYTES, MOST_FILES, Draft, packed, received
from twoturns.store.errors import DraftRefused

SOURCE = ("procedure.yaml", b"id: tiny\n")


def archive(*files: tuple[str | zipfile.ZipInfo, bytes], packing=zipfile.ZIP_STORED) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", packing) as made:
        for name, data in files:
            made.writestr(name, data)
    return out.getvalue()


def pointing(name: str, mode: int) -> zipfile.ZipInfo:
    info = zipfile.ZipInfo(name)
    info.create_system, info.external_attr = 3, mode << 16
    return info


def refused(data: bytes) -> str:
    begin = time.monotonic()
    with pytest.raises(DraftRefused) as told:
        received(data)
    assert time.monotonic() - begin < 5  # a second on a quiet machine (hazards: under one)
    assert told.value.hint
    return told.value.code


def test_a_folder_that_was_packed_comes_in_with_or_without_its_folder():
    jpeg = photo()
    for around in ("", "my-procedure/"):
        found = received(archive((f"{around}procedure.yaml", b"id: a\n"), (f"{around}a.jpg", jpeg)))
        assert (found.text, dict(found.pictures)) == ("id: a\n", {"a.jpg": jpeg})


def test_it_goes_out_and_comes_back_the_same_and_always_as_the_same_bytes():
    draft = Draft("id: ä\n", {"b.png": photo(kind="PNG"), "a.jpg": photo()})
    assert received(packed(draft)) == draft
    assert packed(received(packed(draft))) == packed(draft)


NAMES = [
    *("../procedure.yaml", "../../evil.txt", "/etc/passwd", "a/../../b.jpg", "C:\\x.jpg"),
    *("evil.svg", "evil.html", "evil.js", "a.jpg.html", "A.JPG", ".hidden.jpg", "a\u202egpj.jpg"),
    *("blocks/../mine.yaml", "blocks/Mine.yaml", "blocks/in/mine.yaml", "other/mine.yaml"),
    *("procedure.yml", "PROCEDURE.YAML", "inner/a.jpg", "nul\n.jpg", "x" * 70 + ".jpg"),
]


def test_its_own_blocks_come_and_go_with_it():
    block = b"block: mine\nedition: 1\n"
    found = received(archive(("a/procedure.yaml", b"id: a\n"), ("a/blocks/mine.yaml", block)))
    assert dict(found.blocks) == {"mine.yaml": block}
    assert received(packed(found)) == found


@pytest.mark.parametrize("name", NAMES)
def test_no_name_leads_anywhere(name):
    assert refused(archive(SOURCE, (name, photo()))) == "bad-zip"


@pytest.mark.parametrize("mode", [stat.S_IFLNK, stat.S_IFIFO, stat.S_IFCHR, stat.S_IFSOCK])
def test_what_is_no_file_is_refused(mode):
    assert refused(archive(SOURCE, (pointing("a.jpg", mode | 0o777), b"/etc/passwd"))) == "bad-zip"


def test_a_bomb_of_zeros_is_refused_before_it_is_unpacked():
    zeros = archive(("procedure.yaml", bytes(200 * 2**20)), packing=zipfile.ZIP_DEFLATED)
    assert len(zeros) < MOST_BYTES
    assert refused(zeros) == "bad-zip"


def test_one_that_lies_about_its_size_is_read_no_further_than_it_says():
    honest = archive(("procedure.yaml", bytes(2**20)), packing=zipfile.ZIP_DEFLATED)
    at = honest.index(b"PK\x01\x02") + 24  # APPNOTE 4.3.12: uncompressed size
    assert struct.unpack_from("<I", honest, at) == (2**20,)
    lying = honest[:at] + struct.pack("<I", 64) + honest[at + 4 :]
    assert refused(lying) == "bad-zip"


def test_many_files_are_refused_by_their_count_alone():
    many = archive(SOURCE, *((f"p{at}.jpg", b"") for at in range(MOST_FILES)))
    assert refused(many) == "draft-too-large"


def test_a_list_of_files_without_end_is_refused_before_it_is_read():
    entry = b"PK\x01\x02" + bytes(24) + struct.pack("<H", 1) + bytes(16) + b"a"  # APPNOTE 4.3.12
    listed = entry * 100_000
    end = b"PK\x05\x06" + struct.pack("<4H2LH", 0, 0, 0, 0, len(listed), 0, 0)  # 4.3.16
    begin = time.process_time()
    assert refused(listed + end) == "draft-too-large"
    assert time.process_time() - begin < 0.3


def test_a_file_that_stands_twice_is_refused():
    with pytest.warns(UserWarning, match="Duplicate"):
        twice = archive(SOURCE, SOURCE)
    assert refused(twice) == "bad-zip"


def test_what_is_encrypted_or_packed_otherwise_is_refused():
    plain = archive(SOURCE)
    at = plain.index(b"PK\x01\x02") + 8  # APPNOTE 4.4.4: general purpose bit flag
    assert refused(plain[:at] + b"\x01\x00" + plain[at + 2 :]) == "bad-zip"
    for packing in (zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA):
        assert refused(archive(SOURCE, packing=packing)) == "bad-zip"


@pytest.mark.parametrize(
    "data", [b"", b"PK", b"PK\x05\x06" + bytes(18), b"<html>", b"x" * 1000, archive(SOURCE)[:-8]]
)
def test_what_is_no_archive_is_refused(data):
    assert refused(data) == "bad-zip"


def test_bytes_that_were_changed_never_break_the_reader():
    whole = archive(SOURCE, ("a.jpg", photo()))
    for at in range(len(whole) - 200, len(whole)):
        for value in (0x00, 0xFF):
            with suppress(DraftRefused):  # most pass: the bytes of the files are as they were
                received(whole[:at] + bytes([value]) + whole[at + 1 :])


PICTURES = {
    "a script that begins as a GIF": ("a.jpg", b"GIF89a=1;alert(1)"),
    "a page": ("a.png", b"<!doctype html><script>1</script>"),
    "a drawing with a script": ("a.png", b"<svg xmlns='x' onload='alert(1)'/>"),
    "a JPEG that says it is a PNG": ("a.png", photo()),
    "a head without a picture": ("a.jpg", b"\xff\xd8\xff\xe0" + bytes(100)),
    "a bomb of pixels": ("a.png", bomb(13_000)),
    "nothing": ("a.jpg", b""),
}


@pytest.mark.parametrize("kind", PICTURES)
def test_only_pictures_are_pictures(kind):
    assert refused(archive(SOURCE, PICTURES[kind])) == "bad-picture"


def test_a_source_that_is_no_text_or_too_long_is_refused():
    assert refused(archive(("procedure.yaml", b"\xff\xfe"))) == "bad-zip"
    assert refused(archive(("a.jpg", photo()))) == "bad-zip"
    assert refused(archive(("procedure.yaml", b"a" * (2**20 + 1)))) == "draft-too-large"


def test_a_draft_that_could_not_be_brought_back_is_not_kept():
    with pytest.raises(DraftRefused) as told:
        packed(Draft("id: a\n", {"a.jpg": bytes(MOST_BYTES)}))
    assert told.value.code == "draft-too-large"
