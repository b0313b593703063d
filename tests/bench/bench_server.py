"""
How fast the workshop is, as ratios to a limit or a peer that did the same work in the same run.

Run by hand: `PYTHONPATH=server:tests python tests/bench/bench_server.py [SECTION ...] [--full]`.

Small by default, some seconds a section; `--full` takes the sizes of a workshop of years. Limit and
workshop go by turns, as the machine may be slower in one moment than in the next; printed are the
least, the median and the most of the ratios. Absolute figures of a shared machine mean little.
The load comes from a process of this machine, so it takes part of the two cores that it measures.
"""

import hashlib
import http.client
import io
import json
import os
import secrets
import shutil
import subprocess
import tempfile
import time
import zipfile
from base64 import b64encode
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from functools import partial
from itertools import chain, islice
from multiprocessing import get_context
from pathlib import Path
from statistics import median, quantiles
from typing import Any

import over_years
from nacl.signing import VerifyKey
from PIL import Image
from sections import asked_for

from bags import BagWorkshop
from served import served, serving
from twoturns.bag.verify import verify
from twoturns.demo.scripted_phone import ScriptedPhone, Work
from twoturns.ledger import base64url
from twoturns.ledger.entry import Entry
from twoturns.store import Store, as_text, files, gather
from twoturns.web.cookie import COOKIE
from workshop import Phone, Workshop, opening, private_value, uuid7

CORES = 2


# The frame: what each section has of it.


def report(name: str, ratios: list[float], says: str = "") -> None:
    """Print the ratios of one quantity, of as many rounds."""
    least, middle, most = min(ratios), median(ratios), max(ratios)
    print(f"{name:44} {least:6.2f} {middle:6.2f} {most:6.2f}  {says}", flush=True)


@contextmanager
def a_workshop() -> Iterator[Workshop]:
    """Give a workshop in a folder of its own, on the disk that holds temporary files."""
    with tempfile.TemporaryDirectory() as folder:
        yield Workshop(Path(folder) / "data")


def took(work: Callable[[], object]) -> float:
    """Return the seconds that a piece of work takes."""
    since = time.perf_counter()
    work()
    return time.perf_counter() - since


class Line:
    """A phone's line to the served workshop, by its host name: one connection, signed in."""

    def __init__(
        self, port: int, workshop: Workshop, phone: Phone, host: str = "localhost"
    ) -> None:
        token, _ = workshop.store.sessions.start(phone.id, datetime.now(UTC))
        self._headers = {"Cookie": f"{COOKIE}={token}", "Host": host}
        self._line = http.client.HTTPConnection("127.0.0.1", port)

    def ask(self, method: str, path: str, body: bytes = b"", **headers: str) -> bytes:
        """Ask once; header names are given with `_` for `-`."""
        named = {name.replace("_", "-"): value for name, value in headers.items()}
        self._line.request(method, path, body, {**self._headers, **named})
        answer = self._line.getresponse()
        said = answer.read()
        if answer.status >= 400:
            raise RuntimeError(f"{method} {path}: {answer.status} {said!r:.300}")
        return said

    def push(self, batch: bytes) -> None:
        said = self.ask("POST", "/api/entries", batch, Content_Type="application/json")
        if json.loads(said)["refused"]:
            raise RuntimeError(f"refused: {said!r:.300}")


def by_turns(lines: list[Line], work: list[list[Callable[[Line], object]]]) -> list[float]:
    """Let each line do its own pieces of work, all lines at once; return what each piece took."""

    def of_one(line: Line, pieces: list[Callable[[Line], object]]) -> list[float]:
        return [took(lambda: piece(line)) for piece in pieces]  # noqa: B023 - done at once

    with ThreadPoolExecutor(len(lines)) as pool:
        return [one for each in pool.map(of_one, lines, work) for one in each]


# Ingest: batches of signed entries, against their signatures alone.

BATCH, CLIENTS = 50, (1, 2, 4, 8)
HELD_BEFORE = 700_000
VALUES = 30


def ingest(*, full: bool) -> None:
    """Entries taken in, with all that is checked, against two cores that only check signatures."""
    with a_workshop() as workshop, ProcessPoolExecutor(CORES) as cores:
        phones = [workshop.enrol("mechanic") for _ in range(max(CLIENTS))]
        with serving(workshop.folder) as (port, server):
            lines = [Line(port, workshop, phone) for phone in phones]
            rounds, batches = (5, 20) if full else (3, 5)
            ingest_round(cores, lines[:1], phones[:1], 4)  # both processes are awake then
            ingest_values(lines[0], phones[0], rounds, batches)
            ingest_cpu(server, lines, phones, rounds)
            empty = ingest_by_clients(cores, lines, phones, rounds, batches)
            if full:
                fill(workshop, phones[0], HELD_BEFORE)
                held = ingest_by_clients(cores, lines, phones, rounds, batches)
                ratios = [one / other for one, other in zip(held, empty, strict=True)]
                report(f"ingest at {HELD_BEFORE} against empty", ratios)


def ingest_by_clients(
    cores: ProcessPoolExecutor, lines: list[Line], phones: list[Phone], rounds: int, batches: int
) -> list[float]:
    for count in CLIENTS:
        done = [
            ingest_round(cores, lines[:count], phones[:count], batches * max(1, 4 // count))
            for _ in range(rounds)
        ]
        ratios = [ratio for ratio, _ in done]
        times = sorted(one for _, each in done for one in each)
        tail = quantiles(times, n=100)[98] / median(times)
        says = f"p50 {median(times) * 1000:.0f} ms, p99/p50 {tail:.1f}"
        report(f"ingest, {count} client(s), of 2-core verify", ratios, says)
    return ratios


def ingest_round(
    cores: ProcessPoolExecutor, lines: list[Line], phones: list[Phone], batches: int
) -> tuple[float, list[float]]:
    """Push so many batches a client; return the ratio to the limit, and what each batch took."""
    jobs = [[job_of(phone) for _ in range(batches)] for phone in phones]
    signed = [
        (one.key.key, said.signed, said.signature)
        for one, own in zip(phones, jobs, strict=True)
        for job in own
        for said in job
    ]
    halves = [signed[at::CORES] for at in range(CORES)]
    work = [[pushing(job) for job in own] for own in jobs]
    before = took(lambda: list(cores.map(verify_all, halves)))
    since = time.perf_counter()
    times = by_turns(lines, work)
    whole = time.perf_counter() - since
    after = took(lambda: list(cores.map(verify_all, halves)))
    return (before + after) / 2 / whole, times


def ingest_cpu(server: int, lines: list[Line], phones: list[Phone], rounds: int) -> None:
    """What the processors work for a batch, in signatures checked: so of any load beside it."""
    ratios = []
    for _ in range(rounds):
        jobs = [[job_of(phone) for _ in range(5)] for phone in phones]
        since = cpu_of(server)
        by_turns(lines, [[pushing(job) for job in own] for own in jobs])
        spent = (cpu_of(server) - since) / len(phones) / 5
        signed = [
            (phone.key.key, said.signed, said.signature)
            for phone, (job, *_) in zip(phones, jobs, strict=True)
            for said in job
        ]
        began = time.process_time()
        verify_all(signed)
        ratios.append((time.process_time() - began) / len(phones) / spent)
    says = f"the server's {spent * 1000:.1f} ms a batch, without the load's own"
    report("signatures, of all processor time of a batch", ratios, says)


def cpu_of(server: int) -> float:
    """Return the seconds of processor that a server's processes have had (proc(5))."""
    stats = [Path(f"/proc/{one}/stat").read_text() for one in over_years.children_of(server)]
    ticks = sum(int(field) for stat in stats for field in stat.rpartition(")")[2].split()[11:13])
    return ticks / os.sysconf("SC_CLK_TCK")


def ingest_values(line: Line, phone: Phone, rounds: int, batches: int) -> None:
    """A batch with as many private values as a mechanic's phone brings, against one without."""

    def all_of(values: int) -> float:
        work = [
            pushing(job_of(phone), [private_value("words", f"{n}") for n in range(values)])
            for _ in range(batches)
        ]
        return took(lambda: by_turns([line], [work]))

    ratios = [all_of(0) / all_of(VALUES) for _ in range(rounds)]
    report(f"ingest with {VALUES} private values a batch, of none", ratios)


def pushing(job: list[Entry], values: Iterable[bytes] = ()) -> Callable[[Line], object]:
    body = {"sent_at": as_text(datetime.now(UTC)), "lines": [one.line for one in job]}
    data = json.dumps({**body, "blobs": [one.decode() for one in values]}).encode()
    return lambda line: line.push(data)


def verify_all(signed: Iterable[tuple[str, bytes, bytes]]) -> None:
    """The limit: what no server that checks each signature can do without."""
    for key, message, signature in signed:
        VerifyKey(base64url.decode(key)).verify(message, signature)


def job_of(phone: Phone, entries: int = BATCH) -> list[Entry]:
    """Return a job's first entries as a mechanic's phone writes them: a step is five."""
    job = uuid7()
    vin, plate = private_value("vin", secrets.token_hex(8)), private_value("plate", "WEIR 12")
    said = [phone.write("job.opened", opening(vin, plate), job)]
    steps = (step_of(phone, job, f"step_{number}") for number in range(entries))
    said.extend(islice(chain.from_iterable(steps), entries - 1))
    return said


def step_of(phone: Phone, job: str, step: str) -> Iterator[Entry]:
    """Yield a step's entries as they are written: what is not asked for has no number either."""
    reading = {"step": step, "name": "tension", "value": "118.5", "unit": "Hz", "low": "112.0"}
    photo = {
        "step": step,
        "name": "marks",
        "blob": secrets.token_hex(32),
        "size": 3_000_000,
        "type": "image/jpeg",
        "width": 4032,
        "height": 3024,
        "how": "live",
        "quality": {"sharp_tenths": 214, "mean": 128, "blown_permille": 3},
    }
    yield phone.write("step.begun", {"step": step}, job)
    yield phone.write("condition.seen", {"condition": "belt_off", "value": "yes"}, job)
    proof = [phone.write("reading.taken", {**reading, "tool": "TW-07"}, job)]
    yield proof[0]
    proof.append(phone.write("photo.taken", photo, job))
    yield proof[1]
    yield phone.write("step.done", {"step": step, "proof": [one.id for one in proof]}, job)


def fill(workshop: Workshop, phone: Phone, records: int) -> None:
    """Bring a ledger to a size: as its phones would, without the line."""
    while workshop.store.ledger.size() < records:
        workshop.now += timedelta(seconds=1)
        workshop.push(*(said for _ in range(10) for said in job_of(phone)))


# Photos: uploads, against hashing and writing as much.

MIB = 2**20


def photos(*, full: bool) -> None:
    """Uploads, whole and in pieces, against sha256, write, fsync and rename by as many threads."""
    sizes = (3 * MIB, 12 * MIB) if full else (3 * MIB,)
    rounds, each = (7, 12) if full else (3, 6)
    with a_workshop() as workshop:
        phones = [workshop.enrol("mechanic") for _ in range(4)]
        with served(workshop.folder) as port:
            lines = [Line(port, workshop, phone) for phone in phones]
            photos_round(workshop.folder, lines, MIB, None, 4)  # both processes are awake then
            for size in sizes:
                for piece in (None, 2 * MIB):
                    for count in (1, 4):
                        name = f"{size // MIB} MiB, {'whole' if piece is None else 'in pieces'}"
                        ratios = [
                            photos_round(workshop.folder, lines[:count], size, piece, each)
                            for _ in range(rounds)
                        ]
                        report(f"upload of {name}, {count} client(s)", ratios)


def photos_round(folder: Path, lines: list[Line], size: int, piece: int | None, each: int) -> float:
    """Return how fast uploads are, as a ratio to the limit."""
    made = [[os.urandom(size) for _ in range(each)] for _ in lines]
    hashed = [[(data, hashlib.sha256(data).hexdigest()) for data in own] for own in made]
    work = [[uploading(*one, piece) for one in own] for own in hashed]
    limit_folder = folder.parent / "limit"
    limit_folder.mkdir(exist_ok=True)
    before = took(lambda: hash_and_write_all(limit_folder, made))
    since = time.perf_counter()
    by_turns(lines, work)
    whole = time.perf_counter() - since
    after = took(lambda: hash_and_write_all(limit_folder, made))
    return (before + after) / 2 / whole


def uploading(data: bytes, sha256: str, piece: int | None) -> Callable[[Line], object]:
    """Return what sends a photo as tus 1.0.0 does: creation, then its pieces."""
    tus: dict[str, Any] = {"Tus_Resumable": "1.0.0"}
    named = f"sha256 {b64encode(sha256.encode()).decode()}"
    step = piece or len(data)

    def send(line: Line) -> None:
        line.ask("POST", "/api/uploads", Upload_Length=str(len(data)), Upload_Metadata=named, **tus)
        for at in range(0, len(data), step):
            line.ask(
                "PATCH",
                f"/api/uploads/{sha256}",
                data[at : at + step],
                Upload_Offset=str(at),
                Content_Type="application/offset+octet-stream",
                **tus,
            )

    return send


def hash_and_write_all(folder: Path, made: list[list[bytes]]) -> None:
    """The limit: what nobody who keeps a photo durably, under its hash, can do without."""

    def keep(data: bytes) -> None:
        fresh = folder / secrets.token_hex(8)
        files.write_new(fresh, data)
        fresh.replace(folder / hashlib.sha256(data).hexdigest())

    with ThreadPoolExecutor(len(made)) as pool:
        list(pool.map(lambda own: [keep(data) for data in own], made))


# Bags: made and checked, against packing and hashing as many bytes.

PHOTO_BYTES = 3 * MIB


def bag(*, full: bool) -> None:
    """Evidence bags: against `zip -0` of the same photos, and against SHA-256 of the same bag."""
    with tempfile.TemporaryDirectory() as folder:
        workshop = BagWorkshop(Path(folder) / "data")
        phone = workshop.phone("mechanic", "Ada Weir")
        work = job_of_photos(workshop, phone, 57 if full else 20, PHOTO_BYTES)
        for originals in (True, False):
            rounds = [bag_round(workshop, work, originals) for _ in range(7 if full else 3)]
            name = "originals" if originals else "copies"
            report(f"bag with {name}, of {packer()}", [one for one, _ in rounds])
            report("  verified, of SHA-256 by one core", [other for _, other in rounds])
        few, many = (700, 5_700) if full else (200, 1_000)
        bag_growth(workshop, phone, few, many)
        few, many = (200, 2_000) if full else (50, 200)
        bag_memory(workshop, phone, few, many)


def job_of_photos(workshop: BagWorkshop, phone: ScriptedPhone, count: int, size: int) -> Work:
    """Do a job of so many photos: each has the same pixels, and a comment of its own."""
    work = workshop.job(phone)
    side = round((size / 1.35) ** 0.5)
    out = io.BytesIO()
    Image.effect_noise((side, side), 90).convert("RGB").save(out, "JPEG", quality=85)
    soi, rest = out.getvalue()[:2], out.getvalue()[2:]
    shown = {"step": "belt_off", "name": "seen", "type": "image/jpeg", "how": "live"}
    for _ in range(count):
        data = soi + b"\xff\xfe\x00\x12" + secrets.token_bytes(16) + rest
        photo = {"blob": hashlib.sha256(data).hexdigest(), "size": len(data)}
        work.write(phone, "photo.taken", {**shown, **photo, "width": side, "height": side})
        phone.photos.append(data)
        workshop.deliver(phone)
    return work


def bag_round(workshop: BagWorkshop, work: Work, originals: bool) -> tuple[float, float]:
    """Make and check a bag; return how fast that is, as ratios to the peer and to the limit."""
    out, peer = (workshop.folder.parent / name for name in ("bag.zip", "peer.zip"))
    photos = [one.body["blob"] for one in work.log if one.kind == "photo.taken"]
    paths = [workshop.store.blobs.path(one) for one in photos]

    def took_anew(path: Path, act: Callable[[], None]) -> float:
        path.unlink(missing_ok=True)  # giving back the room of the file before is no part of it
        return took(act)

    before = took_anew(peer, lambda: pack(paths, peer))
    made = took_anew(out, lambda: make_bag(workshop.folder, work.job, out, originals))
    after = took_anew(peer, lambda: pack(paths, peer))
    hashed = took(lambda: hash_file(out))
    checked = took(lambda: check_bag(out))
    again = took(lambda: hash_file(out))
    return (before + after) / 2 / made, (hashed + again) / 2 / checked


def packer() -> str:
    """The peer: the program zip where there is one, else the zip of Python's library."""
    return "zip -0" if shutil.which("zip") else "zipfile, stored"


def pack(paths: list[Path], out: Path) -> None:
    if shutil.which("zip"):
        subprocess.run(["zip", "-0", "-q", "-j", str(out), *map(str, paths)], check=True)
    else:
        with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as archive:
            for path in paths:
                archive.write(path, path.name)


def make_bag(folder: Path, job: str, out: Path, originals: bool) -> None:
    """Make a bag as the command line does: nothing is remembered of what was read before."""
    store = Store(folder)
    asked: dict[str, Any] = {"groups": (), "originals": originals, "made_on": "2026-11-24"}
    with out.open("wb") as file:
        gather.write(store, gather.gather(store, job, **asked), file)


def check_bag(path: Path) -> None:
    with path.open("rb") as file:
        if not verify(file).holds:
            raise RuntimeError("the bag does not hold")


def hash_file(path: Path) -> None:
    with path.open("rb") as file:
        hashlib.file_digest(file, "sha256")


def bag_growth(workshop: BagWorkshop, phone: ScriptedPhone, few: int, many: int) -> None:
    """What an entry costs in a bag of many, as a ratio to what it costs in one of few."""
    out = workshop.folder.parent / "bag.zip"
    works = [(count, job_of_words(workshop, phone, count)) for count in (few, many)]
    made, checked = [], []
    for count, work in works:
        made.append(took(lambda: make_bag(workshop.folder, work.job, out, True)) / count)  # noqa: B023 - done at once
        checked.append(took(lambda: check_bag(out)) / count)
    for name, (one, other) in (("made", made), ("verified", checked)):
        says = f"{other * many:.1f} s for {many}"
        report(f"bag {name}, an entry of {many} against of {few}", [other / one], says)


def job_of_words(workshop: BagWorkshop, phone: ScriptedPhone, count: int) -> Work:
    """Do a job of so many entries: readings, their corrections, notes, parts."""
    work = workshop.job(phone)
    for n in range(count // 4):
        reading = {"step": "belt_on", "name": "note", "value": str(n), "unit": "N"}
        first = work.write(phone, "reading.taken", {**reading, "tool": f"TW-{n % 40}"})
        slip = {"of": first.id, "value": "7", "because": phone.private("words", "a slip")}
        work.write(phone, "reading.corrected", slip)
        work.write(phone, "note.added", {"text": phone.private("words", f"note {n}")})
        part = {"step": "belt_on", "name": "belt", "part": "belt", "lot": f"LOT-{n}"}
        work.write(phone, "part.fitted", part)
        workshop.deliver(phone)
    return work


def bag_memory(workshop: BagWorkshop, phone: ScriptedPhone, few: int, many: int) -> None:
    """The most memory that a process takes for a bag: of many photos, as a ratio to of few."""
    peaks = []
    for count in (few, many):
        work = job_of_photos(workshop, phone, count, PHOTO_BYTES // 30)
        with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as process:
            peaks.append(process.submit(peak_of_bag, workshop.folder, work.job).result())
    says = f"{peaks[0]:.0f} and {peaks[1]:.0f} MiB; the photos {many * PHOTO_BYTES / 30 / MIB:.0f}"
    report(f"peak memory at {many} photos against {few}", [peaks[1] / peaks[0]], says)


def peak_of_bag(folder: Path, job: str) -> float:
    """Return the MiB that making and checking a bag took at most: VmHWM of proc(5)."""
    out = folder.parent / "bag.zip"
    for originals in (False, True):
        make_bag(folder, job, out, originals)
        check_bag(out)
    status = Path("/proc/self/status").read_text()
    return int(status.partition("VmHWM:")[2].split()[0]) / 1024


# One function a section: it prints its own lines.

SECTIONS: dict[str, Callable[..., None]] = {
    "ingest": ingest,
    "photos": photos,
    "bag": bag,
    "reads": partial(over_years.reads, report),
    "rebuild": partial(over_years.rebuild, report),
    "backup": partial(over_years.backup, report),
    "tree": partial(over_years.tree, report),
}


def main() -> None:
    names, full = asked_for(
        SECTIONS,
        "ratios to a limit or peer: least, median, most",
        "the sizes of a workshop of years",
    )
    for name in names:
        SECTIONS[name](full=full)


if __name__ == "__main__":
    main()
