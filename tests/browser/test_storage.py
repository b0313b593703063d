"""
What the phone shows as kept survives: kills, a damaged profile, a wiped origin, a full disk.

The store runs alone on a page of its own (probe/), in a profile on disk. Every claim is heard by
the test at the moment the page makes it; after each fault all claims must be there.
"""

from __future__ import annotations

import base64
import hashlib
import io
import os
import shutil
import subprocess
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, Playwright, expect

from browser.app import enrol
from browser.chromium import PHONE, kill, profile
from browser.pages import served_page
from twoturns.ledger import entry

pytestmark = [pytest.mark.browser, pytest.mark.slow(30)]

OPEN = "async () => { window.store = await probe.open() }"
HELD = "() => probe.held(store)"
#: Write steps without a pause and tell of each one only when the store says that it is kept. What a
#: start puts back has to be read before the next act, as a screen would: until then it is refused.
WRITE = """async (count) => {
  const written = async (step) => {
    for (;;) {
      const one = await probe.begin(store, step).catch((error) => {
        if (error.trouble?.code !== 'act-came-back') throw error
      })
      if (one) return one
      await probe.held(store)
    }
  }
  for (let i = 0; i < count; i++) claim((await written(`step_${i}`)).id)
}"""
#: The same where some may be refused; returns the codes of the refusals.
TRY = """async (count) => {
  const refused = []
  for (let i = 0; i < count; i++) {
    const refusal = (error) => void refused.push(error.trouble.code)
    await probe.begin(store, `tried_${i}`).then(({ id }) => claim(id), refusal)
  }
  return refused
}"""
PHOTO = """(size) => probe.photo(store, size).then(() => 'kept', (error) => error.trouble.code)"""
#: All that the notices say from now on, in turn.
HEAR_NOTICES = """() => {
  window.heard = []
  store.notices.subscribe((told) => void heard.push(told.map(({ code }) => code).join(' ')))
}"""
#: What a browser throws away when room is short: everything of the origin but its cookies.
EVICTED = "file_systems,indexeddb,local_storage,service_workers,cache_storage,storage_buckets"


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of the store's own page, built from these sources."""
    with served_page("probe", tmp_path_factory.mktemp("probe")) as served:
        yield served


@dataclass
class Probe:
    """A phone's profile on disk, and what it has claimed so far."""

    playwright: Playwright
    address: str
    folder: Path
    claims: list[str] = field(default_factory=list)
    #: What went wrong in the page that is open.
    faults: list[str] = field(default_factory=list)

    @contextmanager
    def opened(self) -> Iterator[tuple[BrowserContext, Page]]:
        with profile(self.playwright, self.folder, **PHONE) as context:
            page = context.pages[0]
            page.on("pageerror", lambda error: self.faults.append(str(error)))
            context.expose_function("claim", lambda claim: self.claims.append(claim))
            page.goto(self.address)
            page.evaluate(OPEN)
            yield context, page
            assert self.faults == []

    def write(self, page: Page, count: int) -> None:
        page.evaluate(WRITE, count)

    def enrolled(self, steps: int) -> None:
        """Enrol this phone, write so many steps, and close the browser as people do."""
        with self.opened() as (_, page):
            page.evaluate("() => probe.enrol(store)")
            self.write(page, steps)

    def look(self) -> dict[str, Any]:
        """Start anew and return what is there; everything that was ever claimed must be."""
        with self.opened() as (_, page):
            held: dict[str, Any] = page.evaluate(HELD)
            missing = [claim for claim in self.claims if claim not in held["ids"]]
            assert missing == [], f"{len(missing)} of {len(self.claims)} claims are gone"
            return held

    def goes_on(self) -> None:
        """Write one step more and find it again: the number it took was free."""
        with self.opened() as (_, page):
            self.write(page, 1)
        self.look()

    @property
    def database(self) -> Path:
        (folder,) = (self.folder / "Default" / "IndexedDB").glob("http_localhost_*.leveldb")
        return folder

    @property
    def files(self) -> Path:
        return self.folder / "Default" / "File System"


@pytest.fixture
def phone(playwright: Playwright, address: str, tmp_path: Path) -> Probe:
    return Probe(playwright, address, tmp_path / "profile")


def test_a_kill_at_any_claim_loses_none(phone):
    """
    One kill in 150 comes between both writes of a record of LevelDB's log. The browser writes on
    behind the half of it, and two starts later reads nothing of that block (seen in the files of
    such a run): then the journal puts it back, which is told.
    """
    phone.enrolled(1)
    for kill_at in (1, 2, 3, 5, 8):
        heard = len(phone.claims) + kill_at
        with phone.opened() as (_, page):
            page.evaluate(f"() => {{ void ({WRITE})(1000) }}")
            while len(phone.claims) < heard:
                assert phone.faults == [], "nothing more will be claimed"
                page.wait_for_timeout(5)
            kill(phone.folder)
        assert set(phone.look()["notices"]) <= {"put-back"}


def flip_log(database: Path) -> None:
    """Overwrite 4 bytes in the middle of LevelDB's log, as a worn-out cell would."""
    log = max(database.glob("*.log"), key=lambda path: path.stat().st_size)
    with log.open("r+b") as file:
        file.seek(log.stat().st_size // 2)
        file.write(b"\xff\x00\xff\x00")


def cut_log(database: Path) -> None:
    log = max(database.glob("*.log"), key=lambda path: path.stat().st_size)
    os.truncate(log, log.stat().st_size // 2)


def break_manifest(database: Path) -> None:
    for manifest in database.glob("MANIFEST-*"):
        manifest.write_bytes(b"\x00" * manifest.stat().st_size)


def remove(database: Path) -> None:
    shutil.rmtree(database)


@pytest.mark.parametrize("damage", [flip_log, cut_log, break_manifest, remove])
def test_a_damaged_database_is_healed_from_the_journal_and_the_phone_writes_on(phone, damage):
    phone.enrolled(20)
    damage(phone.database)
    held = phone.look()
    assert held["enrolled"], "the key came back from its own place"
    assert "put-back" in held["notices"]
    phone.goes_on()


def test_a_lost_journal_is_written_anew_from_the_database(phone):
    phone.enrolled(20)
    shutil.rmtree(phone.files)
    assert "copy-mended" in phone.look()["notices"]
    remove(phone.database)
    assert "put-back" in phone.look()["notices"]


def test_a_wipe_under_the_open_page_is_told_without_a_reload_and_after_the_next_start(phone):
    phone.enrolled(3)
    with phone.opened() as (context, page):
        page.evaluate(HEAR_NOTICES)
        session = context.new_cdp_session(page)
        session.send(
            "Storage.clearDataForOrigin",
            {"origin": phone.address.rstrip("/"), "storageTypes": "all"},
        )
        # Chromium may answer nothing of the origin for half a minute, neither files nor database:
        # that is told at once, and no loss before it is known.
        page.wait_for_function(
            "() => store.notices.value.some(({ code }) => code === 'phone-wiped')", timeout=90_000
        )
        page.wait_for_function("() => heard.at(-1) === 'phone-wiped'")
        assert page.evaluate("heard")[:2] == ["", "storage-closed"]
        page.wait_for_function("() => store.device.value === null", timeout=90_000)
    with phone.opened() as (_, page):
        held = page.evaluate(HELD)
        # Closed between the two copies of what was told, the start mends the second and says so.
        assert set(held.pop("notices")) - {"storage-mended"} == {"phone-wiped"}
        assert held == {"ids": [], "enrolled": False}


def test_an_eviction_between_two_starts_is_told(phone):
    phone.enrolled(3)
    with profile(phone.playwright, phone.folder, **PHONE) as context:
        session = context.new_cdp_session(context.pages[0])
        session.send(
            "Storage.clearDataForOrigin",
            {"origin": phone.address.rstrip("/"), "storageTypes": EVICTED},
        )
    with phone.opened() as (_, page):
        assert page.evaluate(HELD) == {"ids": [], "notices": ["phone-wiped"], "enrolled": False}


def test_the_enrol_screen_says_whose_phone_it_was_after_an_eviction(
    playwright, tiny_workshop, tmp_path
):
    with profile(playwright, tmp_path / "profile", **PHONE) as context:
        page = context.pages[0]
        enrol(page, tiny_workshop.address, tiny_workshop.invite("mechanic", "Ada Weir"))
        page.goto("about:blank")
        said = {"origin": tiny_workshop.address, "storageTypes": EVICTED}
        context.new_cdp_session(page).send("Storage.clearDataForOrigin", said)
        page.goto(tiny_workshop.address)
        words = page.get_by_role("alert")
        # After a wipe the first worker may never answer; the one after it does (remote.ts).
        expect(words).to_contain_text("This phone belonged to Workshop at the Weir", timeout=90_000)
        expect(words).to_contain_text("All of it had been sent. Open a new invitation")
        expect(page.get_by_role("heading", name="Open the invitation")).to_be_visible()
        page.get_by_role("button", name="I have read it").click()
        expect(words).to_be_hidden()


def test_a_job_written_to_a_file_is_a_zip_that_others_read(phone):
    phone.enrolled(3)
    script = """async () => {
      await probe.photo(store, 100_000)
      const zip = new Uint8Array(await (await store.exportJob(probe.JOB)).arrayBuffer())
      return zip.toBase64()
    }"""
    with phone.opened() as (_, page):
        packed = zipfile.ZipFile(io.BytesIO(base64.b64decode(page.evaluate(script))))
    assert packed.testzip() is None
    lines = packed.read("entries.txt").decode().splitlines()
    assert [entry.parse(line).kind for line in lines] == [
        "device.enrolled",
        *["step.begun"] * 3,
        "photo.taken",
    ]
    (photo,) = [name for name in packed.namelist() if name.startswith("photos/")]
    assert hashlib.sha256(packed.read(photo)).hexdigest() == photo.removeprefix("photos/")


def test_a_quota_refused_in_the_middle_keeps_nothing_of_the_photo_and_all_else(phone):
    with phone.opened() as (context, page):
        page.evaluate("() => probe.enrol(store)")
        phone.write(page, 3)
        # The grant stands as long as its session.
        session = context.new_cdp_session(page)
        said = {"origin": phone.address.rstrip("/"), "quotaSize": 1000}
        session.send("Storage.overrideQuotaForOrigin", said)
        assert page.evaluate(PHOTO, 6 << 20) == "photos-wait"
        phone.write(page, 5)
        assert page.evaluate(HELD)["notices"] == ["photos-wait"]
        session.detach()
        assert page.evaluate(PHOTO, 6 << 20) == "kept"
        assert page.evaluate(HELD)["notices"] == []
    # Of the entries in the job only that of the photo was not claimed.
    assert len(phone.look()["ids"]) == len(phone.claims) + 1


class SmallDisk:
    """A disk of 400 MB, to be filled to the last byte: on a smaller one Chromium hangs."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.filler = folder / "filler"

    def fill(self, leave: int = 0) -> None:
        """Leave so many bytes free."""
        with self.filler.open("ab", buffering=0) as file:
            while (free := self._free()) > leave:
                try:
                    file.write(bytes(min(1 << 20, free - leave)))
                except OSError:
                    break

    def free(self) -> None:
        self.filler.unlink()

    def _free(self) -> int:
        disk = os.statvfs(self.folder)
        return disk.f_bavail * disk.f_frsize


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[SmallDisk]:
    folder = tmp_path / "disk"
    folder.mkdir()
    words = ["mount", "-t", "tmpfs", "-o", "size=400m", "none", str(folder)]
    done = subprocess.run(words, capture_output=True, text=True, check=False)
    if done.returncode != 0:
        # Only root may mount, and no quota of a browser stands for a disk that is truly full.
        pytest.skip(f"no disk to fill up, mounting one needs root: {done.stderr.strip()}")
    yield SmallDisk(folder)
    subprocess.run(["umount", "-l", str(folder)], check=True)


@pytest.fixture
def small_phone(playwright: Playwright, address: str, disk: SmallDisk) -> Probe:
    return Probe(playwright, address, disk.folder / "profile")


def test_on_a_full_phone_photos_wait_and_steps_go_in(small_phone, disk):
    with small_phone.opened() as (_, page):
        page.evaluate("() => probe.enrol(store)")
        small_phone.write(page, 3)
        disk.fill(leave=3 << 20)
        assert page.evaluate(PHOTO, 6 << 20) == "photos-wait"
        small_phone.write(page, 20)
        assert page.evaluate(HELD)["notices"] == ["photos-wait"]
    held = small_phone.look()
    assert len(held["ids"]) == 23
    disk.free()
    with small_phone.opened() as (_, page):
        assert page.evaluate(PHOTO, 6 << 20) == "kept"
        assert page.evaluate(HELD)["notices"] == []


@pytest.mark.parametrize("ends_by", ["closing", "kill"])
def test_a_disk_filled_to_the_last_byte_loses_no_claim(small_phone, disk, ends_by):
    with small_phone.opened() as (_, page):
        page.evaluate("() => probe.enrol(store)")
        small_phone.write(page, 5)
        disk.fill()
        page.evaluate(PHOTO, 6 << 20)
        assert page.evaluate(TRY, 20) == [], "the ballast gave room for steps"
        disk.fill()
        refused = page.evaluate(TRY, 200)
        assert set(refused) <= {"phone-full", "storage-silent", "kept-midway"}
        disk.free()
        page.evaluate(TRY, 10)
        if ends_by == "kill":
            kill(small_phone.folder)
    held = small_phone.look()
    assert held["enrolled"]
    small_phone.goes_on()
