"""What a forger changes in a bag, and zips that somebody made by hand."""

import io
import stat
import zipfile

from bags import bag_entries
from twoturns.bag import layout
from twoturns.ledger import canonical


def changes(files):
    """Yield what a forger changes who then seals the bag again: a name for it, and the files."""
    for name, data in files.items():
        yield f"no {name}", {n: d for n, d in files.items() if n != name}
        for place in {0, len(data) // 3, len(data) // 2, len(data) - 1}:
            changed = data[:place] + bytes([data[place] ^ 1]) + data[place + 1 :]
            yield f"{name} at {place}", {**files, name: changed}
    photos = [name for name in files if name.startswith("data/photos/")]
    yield "two photos swapped", {**files, photos[0]: files[photos[1]], photos[1]: files[photos[0]]}
    yield "a stray blob", {**files, layout.blob_name("ab" * 32): b"hello"}
    yield "a file that no bag has", {**files, "data/notes.txt": b"hello"}
    said = canonical.loads(files[layout.DISCLOSURE])
    for state in ("absent", "withheld", "erased", "copy"):
        told = [said[0] | {"state": state}, *said[1:]]
        yield f"a value called {state}", {**files, layout.DISCLOSURE: canonical.dumps(told)}
    yield "nothing said of it", {**files, layout.DISCLOSURE: canonical.dumps(said[1:])}
    lines = files[layout.RECORDS].splitlines(keepends=True)
    swapped = [*lines[:3], lines[4], lines[3], *lines[5:]]
    yield "two records swapped", {**files, layout.RECORDS: b"".join(swapped)}
    moved = [*lines[:-1], b"%d %b" % (max(bag_entries(files)) + 1, lines[-1].split(b" ", 1)[1])]
    yield "a record moved", {**files, layout.RECORDS: b"".join(moved)}
    late = files[layout.RECORDS].replace(b"2026-11-24T", b"2027-11-24T", 1)
    yield "another time of receipt", {**files, layout.RECORDS: late}


def zipped(*members, method=zipfile.ZIP_STORED):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", method) as archive:
        for member, data in members:
            archive.writestr(member, data)
    out.seek(0)
    return out


def named(name, mode=0o644, kind=stat.S_IFREG):
    info = zipfile.ZipInfo("placeholder")
    info.filename = info.orig_filename = name
    info.create_system = 3
    info.external_attr = (kind | mode) << 16
    return info
