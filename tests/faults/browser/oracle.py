"""
What the screen claims, in its own words, held against what phone and workshop really have.

The page tells of every claim at the moment it is drawn; the test may kill the browser or the
workshop right there. Counts on the screen name no ids, but entries of one phone are numbered
without a gap: so many claimed are the first so many.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable, Collection
from dataclasses import dataclass, field
from pathlib import Path

from playwright.sync_api import BrowserContext, Page

from browser.phone import HELD
from twoturns.ledger import entry
from twoturns.ledger.entry import Entry
from twoturns.ledger.record import parse
from twoturns.store import Store

ON_THIS_PHONE = re.compile(r"^(\d+) on this phone$")
BACKED_UP = "backed up"
#: Where screens say where something is: head band, foot of the first screen, a key that is held.
WATCH = """(() => {
  const places = {
    head: '.head-place span', foot: '.at-foot .row-words', key: '.key-hold.painted small',
  }
  const last = {}
  const look = () => {
    for (const [where, of] of Object.entries(places)) {
      const found = document.querySelector(of)
      // Of the foot only its first words: the sentence of sync below them is no claim of a place.
      const words = ((where === 'foot' ? found?.firstChild : found)?.textContent ?? '').trim()
      if (words && words !== last[where]) claimed(where, words)
      last[where] = words
    }
  }
  const all = { subtree: true, childList: true, characterData: true, attributes: true }
  new MutationObserver(look).observe(document, all)
})()"""
ROWS = """async () => {
  const done = (request) => new Promise((good, bad) => {
    request.onsuccess = () => good(request.result)
    request.onerror = () => bad(request.error)
  })
  const db = await done(indexedDB.open('two-turns'))
  const rows = await done(db.transaction('entries').objectStore('entries').getAll())
  db.close()
  return rows.map(({ kind, line, mine }) => ({ kind, line, mine }))
}"""


@dataclass(frozen=True)
class Claim:
    #: `head`, `foot` or `key`.
    where: str
    words: str


@dataclass
class Oracle:
    """Hears the claims of one phone, and knows what they oblige to."""

    claims: list[Claim] = field(default_factory=list)
    #: So many entries of its job the phone has shown as kept.
    kept: int = 0
    #: Called with each claim, before the page goes on.
    then: Callable[[Claim], object] = lambda claim: None

    def listen(self, context: BrowserContext) -> None:
        context.expose_binding("claimed", lambda _, where, words: self.hear(where, words))
        context.add_init_script(WATCH)

    def hear(self, where: str, words: str) -> None:
        claim = Claim(where, words)
        self.claims.append(claim)
        if where == "head" and (counted := ON_THIS_PHONE.match(words)):
            self.kept = max(self.kept, int(counted[1]))
        self.then(claim)

    def words(self, where: str) -> list[str]:
        return [claim.words for claim in self.claims if claim.where == where]

    # What must be so ------------------------------------------------------------------------

    def check_phone(self, page: Page) -> list[Entry]:
        """All that was shown as kept is on the phone, whole and numbered without a gap."""
        written = own_entries(page)
        assert [one.seq for one in written] == list(range(1, len(written) + 1))
        assert len({one.id for one in written}) == len(written)
        of_jobs = [one for one in written if one.job]
        assert len(of_jobs) >= self.kept, f"{self.kept} were shown as kept, {len(of_jobs)} are"
        held = page.evaluate(HELD)
        assert all(name == sha256 for name, sha256 in held["photos"].items())
        photos = {one.body["blob"] for one in of_jobs if one.kind == "photo.taken"}
        assert photos <= set(held["photos"]), "a photo that was shown as kept is gone"
        return written

    def check_workshop(self, data: Path, device: str) -> None:
        """A folder that was claimed to have it all has it all, once each and in order."""
        store = Store(data)
        of_jobs = [one for one in received(store) if one.job and one.device == device]
        assert len(of_jobs) >= self.kept, f"{self.kept} were shown as there, {len(of_jobs)} are"
        assert len({one.id for one in of_jobs}) == len(of_jobs)
        seqs = [one.seq for one in of_jobs]
        assert seqs == sorted(seqs)
        check_photos(store, of_jobs)


def own_entries(page: Page) -> list[Entry]:
    """What this phone has written, as it lies in its storage, by number; each signature is read."""
    mine = (entry.parse(row["line"]) for row in page.evaluate(ROWS) if row["mine"] == 1)
    return sorted(mine, key=lambda one: one.seq)


def received(store: Store) -> list[Entry]:
    page = store.pages.page(0, limit=100_000)
    assert not page.more
    return [parse(text).entry for _, text in page.records]


def check_photos(store: Store, entries: list[Entry]) -> None:
    """Each photo is readable and hashes to its name."""
    for one in entries:
        if one.kind == "photo.taken":
            data = store.blobs.path(one.body["blob"]).read_bytes()
            assert hashlib.sha256(data).hexdigest() == one.body["blob"]


def check_all_arrived(
    store: Store, written: list[Entry], standings: Collection[str] = ("good",)
) -> None:
    """The workshop has what the phone wrote: each once, all in good standing, photos whole."""
    theirs = [one for one in received(store) if one.device == written[0].device]
    assert sorted(one.id for one in theirs) == sorted(one.id for one in written)
    for job in {one.job for one in written if one.job}:
        for _, record, standing in store.ledger.job_entries(job):
            assert standing in standings, (record.entry.kind, standing)
    check_photos(store, written)
