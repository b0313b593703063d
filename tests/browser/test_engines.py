"""
Not only one browser: joining, three steps without a line, a photo by file, the browser killed, gone
on with, and all of it in the workshop. In Firefox and in WebKit, the engine of Safari.
"""

from __future__ import annotations

import base64
import os
import time
from pathlib import Path

import pytest

from browser.engines import Engine, Firefox, WebKit, engines_are_there, screen
from browser.film import photo_file
from browser.fixtures import serving_five_steps
from browser.mechanic import AT_THE_VAN, READ, Screen
from twoturns.store import Store

pytestmark = [pytest.mark.browser, pytest.mark.slow(25)]

IN_TIME_S = 60
# A screen may be drawn anew between the two presses of a held key: then it is pressed again.
PRESSED_S = 2

PRESS = """
const named = [...document.querySelectorAll('button')].filter((one) => !one.disabled
    && (one.getAttribute('aria-label') ?? one.textContent).trim().startsWith(a[0]))
if (!named[0]) return false
named[0].click()
return true"""

# What a hand does on one screen, by what the screen asks. A held key is pressed twice without a
# pointer, as assistive technology does.
ACT = """
const [asks, kind, given, picture] = a
const one = (of) => document.querySelector(of)
const press = (of) => [...document.querySelectorAll(of)].forEach((each) => each.click())
const beat = () => new Promise((done) => setTimeout(done, 50))
if (kind === 'missing' && asks.includes('board')) {
  press('[aria-label="Tool board"] [aria-pressed="false"]')
} else if (kind === 'missing' && asks.includes('letters')) {
  const line = one('input')
  Object.getOwnPropertyDescriptor(HTMLInputElement.prototype, 'value').set.call(line, given)
  line.dispatchEvent(new Event('input', { bubbles: true }))
} else if (kind === 'missing' && asks.includes('pad')) {
  for (const digit of given) {
    const keys = [...document.querySelectorAll('.pad button')]
    keys.find((key) => key.textContent.trim() === digit).click()
    await beat()
  }
} else if (kind === 'missing' && asks.includes('rows')) {
  const offered = [...document.querySelectorAll('ul.rows .row-key')]
  offered.find((row) => !row.textContent.includes('The block says something else'))?.click()
} else if (kind === 'file') {
  const input = one('.file-key input')
  if (!input) return // the screen has gone on
  const bytes = Uint8Array.from(atob(picture), (sign) => sign.charCodeAt(0))
  const files = new DataTransfer()
  files.items.add(new File([bytes], 'drive.jpg', { type: 'image/jpeg' }))
  input.files = files.files
  input.dispatchEvent(new Event('change', { bubbles: true }))
} else if (kind === 'hold') {
  one('.key-main').click()
  await beat()
  one('.key-main').click()
} else if (kind === 'plain') one('.key-main').click()"""


class Hand:
    """A mechanic's hand on a page of any engine."""

    def __init__(self, engine: Engine, picture: Path) -> None:
        self.engine = engine
        self.picture = base64.b64encode(picture.read_bytes()).decode()

    def press(self, name: str) -> None:
        self.wait(lambda: self.engine.run(PRESS, name), f"a key {name!r}")

    def sees(self, words: str) -> None:
        said = "return document.body.innerText.includes(a[0])"
        self.wait(lambda: self.engine.run(said, words), words)

    def wait(self, is_so, what: str) -> None:
        until = time.monotonic() + IN_TIME_S
        while not is_so():
            shown = self.engine.run("return document.body.innerText")
            assert time.monotonic() < until, f"not seen: {what}; shown is {shown!r}"
            time.sleep(0.05)

    def screen(self) -> Screen | None:
        said = self.engine.run(f"return ({READ})()")
        return Screen(**{**said, "asks": tuple(said["asks"])}) if said else None

    def work(self, until) -> None:
        """Do what each screen asks until one is reached."""
        acted, at = None, 0.0
        deadline = time.monotonic() + 2 * IN_TIME_S
        while True:
            now, shown = time.monotonic(), self.screen()
            if shown and until(shown):
                return
            assert now < deadline, shown
            is_pressed = shown == acted and shown is not None and shown.kind in ("hold", "plain")
            if shown is None or (is_pressed and now < at + PRESSED_S):
                time.sleep(0.05)  # what was pressed is being kept
            else:
                self.act(shown)
                acted, at = shown, now

    def act(self, shown: Screen) -> None:
        given = AT_THE_VAN.get(shown.title, "")
        if shown.kind == "missing" and self.engine.run(PRESS, "Type it"):
            return  # no camera reads a code here
        self.engine.run(ACT, shown.asks, shown.kind, given, self.picture)


@pytest.fixture
def there(built_app):
    if engines_are_there():
        return
    needed = "apt-get install firefox-esr gir1.2-webkit2-4.1 python3-gi xvfb"
    if os.environ.get("CI") == "true":
        pytest.fail(needed)
    pytest.skip(needed)  # a bare machine may run all else; CI may not do without them


@pytest.fixture
def make(there, tmp_path):
    """Give a function that begins an engine with its profile; each is ended with the test."""
    begun = []
    with screen() as display:

        def begin(name: str) -> Engine:
            profile = tmp_path / f"profile-{name}"
            begun.append(Firefox(profile) if name == "firefox" else WebKit(profile, display))
            return begun[-1]

        yield begin
        for engine in begun:
            engine.kill()


@pytest.mark.parametrize("name", ["firefox", "webkit"])
def test_a_job_is_begun_killed_and_gone_on_with_in_another_browser(name, make, tmp_path):
    picture = photo_file("coffee", tmp_path / "drive.jpg")
    with serving_five_steps(tmp_path / "workshop") as workshop:
        hand = Hand(make(name), picture)
        hand.engine.open(workshop.invite("mechanic", "Ada Weir"))
        hand.press("It is the same: join this workshop")
        hand.sees("Everything is in the workshop.")
        hand.engine.run("await navigator.serviceWorker.ready")
        workshop.kill()
        hand.press("Open a job")
        hand.work(until=lambda shown: shown.title == "Two turns by hand")
        job = hand.engine.run("return location.hash").split("/")[3]
        hand.engine.kill()

        again = Hand(make(name), picture)
        again.engine.open(workshop.address)
        again.sees("WEIR 12")
        workshop.start()
        again.engine.run("location.hash = a[0]", f"#/bay/job/{job}/places")
        again.press("Send now")
        again.sees("All are in the workshop")
        store = Store(workshop.data)
        entries = [record.entry for _, record, _ in store.ledger.job_entries(job)]
        done = [one.body["step"] for one in entries if one.kind == "step.done"]
        assert done == ["lock_in", "belt_off", "belt_on"]
        (photo,) = (one.body for one in entries if one.kind == "photo.taken")
        assert photo["how"] == "picked"
        again.wait(lambda: store.views.kept_at(photo["blob"]) is not None, "the photo, kept")
