"""
What the phone shows as kept survives: kills, a damaged profile, a wiped origin, a full disk.

The store runs alone on a page of its own (probe/), in a profile on disk. Every claim is heard by
the test at the moment the page makes it; after each fault all claims must be there.
"""

from __future__ import annotations

import functools
import http.server
import os
import shutil
import subprocess
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, Playwright

from browser.chromium import PHONE, kill, profile
from browser.serving import ROOT
from twoturns.web.headers import CONTENT_SECURITY_POLICY

pytestmark = pytest.mark.browser

OPEN = "async () => { window.store = await probe.open() }"
HELD = "() => probe.held(store)"
#: Write steps without a pause and tell of each one only when the store says that it is kept.
WRITE = """async (count) => {
  for (let i = 0; i < count; i++) claim((await probe.begin(store, `step_${i}`)).id)
}"""


class Pages(http.server.SimpleHTTPRequestHandler):
    """Serves the built probe under the app's own security policy."""

    def end_headers(self) -> None:
        self.send_header("Content-Security-Policy", CONTENT_SECURITY_POLICY)
        super().end_headers()

    def log_message(self, *words: object) -> None:
        return


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of the store's own page, built from these sources."""
    built = tmp_path_factory.mktemp("probe")
    command = ["npx", "vite", "build", "--config", "vite.probe.config.ts", "--outDir", str(built)]
    done = subprocess.run(command, cwd=ROOT / "client", capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    handler = functools.partial(Pages, directory=str(built))
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://localhost:{server.server_port}/"
    server.shutdown()
    server.server_close()


@dataclass
class Probe:
    """A phone's profile on disk, and what it has claimed so far."""

    playwright: Playwright
    address: str
    folder: Path
    claims: list[str] = field(default_factory=list)

    @contextmanager
    def opened(self) -> Iterator[tuple[BrowserContext, Page]]:
        with profile(self.playwright, self.folder, **PHONE) as context:
            page = context.pages[0]
            faults: list[str] = []
            page.on("pageerror", lambda error: faults.append(str(error)))
            context.expose_function("claim", lambda claim: self.claims.append(claim))
            page.goto(self.address)
            page.evaluate(OPEN)
            yield context, page
            assert faults == []

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
    phone.enrolled(1)
    for kill_at in (1, 2, 3, 5, 8):
        heard = len(phone.claims) + kill_at
        with phone.opened() as (_, page):
            page.evaluate(f"() => {{ void ({WRITE})(1000) }}")
            while len(phone.claims) < heard:
                page.wait_for_timeout(5)
            kill(phone.folder)
        assert phone.look()["notices"] == []


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


def test_a_wipe_under_the_open_page_is_told_at_once_and_after_the_next_start(phone):
    phone.enrolled(3)
    with phone.opened() as (context, page):
        session = context.new_cdp_session(page)
        session.send(
            "Storage.clearDataForOrigin",
            {"origin": phone.address.rstrip("/"), "storageTypes": "all"},
        )
        page.wait_for_function(
            "() => store.notices.value.some(({ code }) => code === 'phone-wiped')"
        )
        assert page.evaluate("store.device.value === null")
    with phone.opened() as (_, page):
        assert page.evaluate(HELD) == {"ids": [], "notices": ["phone-wiped"], "enrolled": False}


def test_an_eviction_between_two_starts_is_told(phone):
    phone.enrolled(3)
    with profile(phone.playwright, phone.folder, **PHONE) as context:
        session = context.new_cdp_session(context.pages[0])
        # What a browser throws away when room is short: everything of the origin but its cookies.
        kinds = "file_systems,indexeddb,local_storage,service_workers,cache_storage,storage_buckets"
        session.send(
            "Storage.clearDataForOrigin",
            {"origin": phone.address.rstrip("/"), "storageTypes": kinds},
        )
    with phone.opened() as (_, page):
        assert page.evaluate(HELD) == {"ids": [], "notices": ["phone-wiped"], "enrolled": False}
