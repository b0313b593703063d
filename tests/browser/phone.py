"""A phone: a browser profile that outlives its browser, with its own clock and what it holds."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from playwright.sync_api import BrowserContext, Page, Playwright

from browser.app import violations
from browser.chromium import LEAN, PHONE, Build, kill, profile
from browser.film import Film

# Everything the phone keeps, read past the app: photos are hashed here, over the bytes on disk.
HELD = """async () => {
  const done = (request) => new Promise((good, bad) => {
    request.onsuccess = () => good(request.result)
    request.onerror = () => bad(request.error)
  })
  const two = (byte) => byte.toString(16).padStart(2, '0')
  const hex = (buffer) => [...new Uint8Array(buffer)].map(two).join('')
  const db = await done(indexedDB.open('two-turns'))
  const all = (store) => done(db.transaction(store).objectStore(store).getAll())
  const photos = {}
  const root = await navigator.storage.getDirectory()
  const folder = await (await root.getDirectoryHandle('two-turns')).getDirectoryHandle('photos')
  for await (const [name, file] of folder.entries()) {
    if (!/^[0-9a-f]{64}$/.test(name)) continue
    const bytes = await (await file.getFile()).arrayBuffer()
    photos[name] = hex(await crypto.subtle.digest('SHA-256', bytes))
  }
  const shown = ({ id, kind, job, waiting }) => ({ id, kind, job, waits: waiting !== undefined })
  const entries = (await all('entries')).filter(({ mine }) => mine === 1).map(shown)
  const values = (await all('values')).map(({ blob }) => blob)
  db.close()
  return { entries, photos, values }
}"""


@dataclass
class Phone:
    """One profile on disk. Its clock goes on from where it was when the browser was killed."""

    playwright: Playwright
    folder: Path
    film: Film
    clock: datetime = field(default_factory=lambda: datetime.now(UTC))
    #: More of the browser's own arguments.
    also: tuple[str, ...] = ()
    build: Build = LEAN

    @contextmanager
    def opened(self) -> Iterator[PhonePage]:
        words = {"film": self.film.path, "also": self.also, "build": self.build}
        with profile(self.playwright, self.folder, **words, **PHONE) as context:
            page = context.pages[0]
            page.clock.install(time=self.clock)
            yield PhonePage(context, page, violations(page))

    def kill(self, page: Page) -> None:
        """Kill the browser, as an empty battery would; the clock is read before."""
        self.clock = datetime.fromtimestamp(page.evaluate("Date.now()") / 1000, UTC)
        kill(self.folder)


@dataclass
class PhonePage:
    context: BrowserContext
    page: Page
    #: What the security policy stopped, and faults of the app's.
    faults: list[str]

    def held(self) -> dict[str, Any]:
        """Return what the phone holds: its own entries, photos by name with their hash, values."""
        return self.page.evaluate(HELD)

    def is_online(self) -> bool:
        """What the browser believes of its line."""
        return bool(self.page.evaluate("navigator.onLine"))
