"""
How fast the built app is on a phone: Chromium at 360 x 740, its processor slowed to a quarter.

Run by hand: `PYTHONPATH=server:tests python tests/bench/bench_phone.py [ROUNDS [JOBS]]`.

One phone is made, once: the app's own store writes 40 jobs of the van with some 1,260 photos into
its profile, and nothing of it is sent. Each round starts from a copy of it. Printed are, as ratios
to their goals: the app's size, packed; a start without a line after a killed browser, up to the
step that the work has come to, slowed and not; a tap to its act being held, its mark painted; a
change of the screen; a photo of 12 megapixels, shot to verdict; and what a phone asks for when
there is nothing new. Of the rounds the best and the middle one are shown: a busy machine makes
every figure worse. Printed last is how many times slower a plain loop was, which should be four,
and how busy the machine was.

A tap to its act being held is told as a ratio to the floor of the same round: an act as large, with
the photo where the tap kept one, signed already and kept by the store alone, on a bare page in the
same profile, as slow (`phone_floor.js`). Off each tap is taken what an empty one of its way takes:
a key that is held, one that keeps at a tap, a tool on the board. A row of a choice that is kept at
once has no mark of its own and is not among them. That floor leaves out what no app can: an act's
signatures, and a frame that shows it kept. So the taps are told once more, nothing taken off, as a
ratio to acts that are signed, kept and shown by a class on that bare page. A finger is down for
60 ms when it taps (chosen; hands take longer: common practice, no source): the app signs meanwhile.
"""

from __future__ import annotations

import json
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image
from playwright.sync_api import Locator, Page, Playwright, Route, expect, sync_playwright
from playwright.sync_api import TimeoutError as TooSlow

import app_size
import hatch_build
from browser.app import enrol
from browser.chromium import PHONE, WHOLE, kill, profile
from browser.film import photograph
from browser.mechanic import SETTLED_MS, Mechanic, Screen
from browser.serving import ROOT, ServedWorkshop
from demo_procedures import VAN, bundle_of, loaded
from peer import CLIENT, find_node
from twoturns.demo.scripted_phone import Photo, ScriptedPhone, Work
from twoturns.ledger import private
from twoturns.ledger.keys import SigningKey
from workshop import NOON, uuid7

THROTTLE = 4
ROUNDS, JOBS = 5, 40
PHOTO_BYTES = 100_000
#: The step that the last job has come to, and how many screens are worked through from there.
STANDS_AT, SCREENS = "rollers_off", 90
#: Of gzip, and for the visit of brotli, without styles and workers for the first two.
FIRST_BYTES, BAY_BYTES, VISIT_BYTES = 75_000, 110_000, 350_000
COLD_MS, COLD_SLOWED_MS, STEP_MS, SHOT_MS = 600, 1200, 100, 1000
#: Of the floor of the same round.
HELD_P50, HELD_P95 = 1.3, 2.0
EMPTY_TAPS = 20
#: A key that is held, one that keeps at a tap, a tool on the board.
WAYS = ("hold", "keep", "move")
#: Of the app: so long a key is held (`hold.ts`), and so long what was kept is shown (`act.ts`).
HOLD_MS, SEEN_MS = 600, 450
#: So long a finger is down when it taps.
TAP_MS = 60
#: So long the page is asked nothing after a touch.
QUIET_MS = 400
VEHICLE = {
    "vin": "ZZ9DEMA24HB000123",
    "plate": "WEIR 12",
    "odometer_km": 181220,
    "engine_code": "QL-19D4",
    "bay": "2",
}

# A page beside the app, on its address: it writes with the store that the app has.
FILL = """
import { openStore } from '@/store'

const told = async (writing, value, ids, secrets) => {
  if (Array.isArray(value)) return Promise.all(value.map((one) => told(writing, one, ids, secrets)))
  if (typeof value === 'string') return ids.get(value) ?? value
  if (typeof value !== 'object' || value === null) return value
  const secret = secrets[value.blob]
  if (secret && Object.keys(value).length === 1) return writing.secret(secret.field, secret.value)
  const fields = Object.entries(value).map(async ([name, one]) =>
    [name, await told(writing, one, ids, secrets)])
  return Object.fromEntries(await Promise.all(fields))
}

const picture = (bytes) => {
  const noise = new Uint8Array(bytes)
  for (let at = 0; at < bytes; at += 65536) {
    crypto.getRandomValues(noise.subarray(at, Math.min(bytes, at + 65536)))
  }
  return new Blob([noise], { type: 'image/jpeg' })
}

let store
window.fill = async (job, said, secrets, bytes) => {
  store ??= await openStore()
  const ids = new Map()
  const write = async (writing) => {
    for (const { id, kind, body } of said) {
      const whole = await told(writing, body, ids, secrets)
      if (kind === 'photo.taken') {
        [whole.blob, whole.size] = [await writing.photo(picture(bytes)), bytes]
      }
      ids.set(id, await writing.entry(kind, whole))
    }
  }
  await store.write(job, write)
  return store.places.value
}
"""

FLOOR = Path(__file__).with_name("phone_floor.js")

# Everything is measured on the page itself, up to the frame in which it is seen: what the app has
# put off until then comes after the time is taken, not before. A change of the screen is another
# address or title; what was kept is shown first, and that time is taken off.
WATCH = (
    f"""(() => {{
  const HOLD_MS = {HOLD_MS}, SEEN_MS = {SEEN_MS}
"""
    + """
  const told = { held: [], steps: [], shots: [], cold: null }
  window.told = told
  const painted = (then) => requestAnimationFrame(() =>
    scheduler.postTask(() => then(performance.now()), { priority: 'user-blocking' }))
  let tap = null, cause = null, shot = null, before = '', size = 0
  const isMoved = ({ key, was }) => key.getAttribute('aria-pressed') !== was
  const MARKED = {
    hold: () => document.querySelector('.key-hold.painted'),
    keep: () => document.querySelector('.key-keep.kept'),
    move: () => isMoved(tap),
  }
  const wayOf = (key) =>
    key.matches('.key-hold') ? 'hold' : key.matches('.key-keep') ? 'keep'
      : key.closest('[aria-label="Tool board"]') ? 'move' : key.closest('.choice') ? 'chosen' : null
  const held = ({ way, from }) => {
    const photo = size
    size = 0
    painted((at) => told.held.push({ way, ms: at - from, size: photo }))
  }
  addEventListener('pointerdown', (event) => {
    if (event.target.closest?.('.key-hold')) tap = { way: 'hold', from: event.timeStamp + HOLD_MS }
  }, true)
  addEventListener('click', (event) => {
    const key = event.target.closest?.('button')
    const way = key && wayOf(key)
    if (!key || way === 'hold') return
    cause = way === null ? event.timeStamp : null
    tap = way && { way, from: event.timeStamp, key, was: key.getAttribute('aria-pressed') }
  }, true)
  addEventListener('change', (event) => {
    if (event.target.type !== 'file') return
    shot = event.timeStamp
    size = event.target.files[0]?.size ?? 0
  }, true)
  const look = () => {
    const title = document.querySelector('main.bay:not([aria-busy]) h1')
    if (!title) return
    if (told.cold === null) {
      told.cold = 0
      painted((at) => { told.cold = at })
    }
    if (tap !== null && MARKED[tap.way]?.()) {
      held(tap)
      if (tap.way !== 'move') cause = performance.now() + SEEN_MS
      tap = null
    }
    if (shot !== null && document.querySelector('.verdict b')) {
      const from = shot
      shot = null
      painted((at) => told.shots.push(at - from))
    }
    const now = [location.hash, title.textContent].join('|')
    if (now !== before) {
      if (cause !== null && performance.now() >= cause - 1) {
        const [from, came] = [cause, now]
        cause = null
        painted((at) => told.steps.push({ ms: at - from, came }))
      }
      before = now
    }
  }
  new MutationObserver(look).observe(document, {
    subtree: true, childList: true, characterData: true, attributes: true,
  })
})()"""
)

SPIN = """() => {
  const from = performance.now()
  let sum = 0
  for (let n = 0; n < 2e7; n++) sum = (sum + n) % 1000003
  return performance.now() - from + sum * 0
}"""


# The phone -----------------------------------------------------------------------------------


def build(source: str, folder: Path) -> Path:
    """Build a page of one script, to be served under the app's own address."""
    folder.mkdir()
    (folder / "fill.js").write_text(source)
    (folder / "index.html").write_text('<script type="module" src="./fill.js"></script>')
    config = folder / "vite.config.mjs"
    config.write_text(
        f"export default {{ root: {json.dumps(str(folder))}, base: '/api/bench/', "
        "publicDir: false, logLevel: 'error', build: { target: 'es2022', outDir: 'built' }, "
        f"resolve: {{ alias: {{ '@': {json.dumps(str(CLIENT / 'src'))}, "
        f"idb: {json.dumps(str(CLIENT / 'node_modules' / 'idb'))}, '@preact/signals': "
        f"{json.dumps(str(CLIENT / 'node_modules' / '@preact' / 'signals'))} }} }} }}"
    )
    vite = CLIENT / "node_modules" / "vite" / "bin" / "vite.js"
    command = [find_node(), str(vite), "build", "--config", str(config)]
    subprocess.run(command, cwd=CLIENT, check=True)
    return folder / "built"


def job_of(until: str | None) -> tuple[list[dict[str, Any]], dict[str, Any]]:
    """Return what a job says, and its private values; closed unless it stops at a step."""
    key = SigningKey.generate()
    phone = ScriptedPhone(key, key.thumbprint, uuid7(), NOON, os.urandom)
    work = Work(bundle_of(VAN), uuid7(), lambda *names: Photo(" ".join(names).encode(), 640, 480))
    work.open(phone, loaded(VAN).sha256, VEHICLE)
    work.run(phone, until=until)
    said = [{"id": one.id, "kind": one.kind, "body": by_eye(one.body)} for one in work.log]
    if until is None:
        said.append({"id": "closed", "kind": "job.closed", "body": {"end": "finished"}})
    secrets = {private.blob_id(one): json.loads(one) for one in phone.private_values}
    return said, secrets


def by_eye(body: dict[str, Any]) -> dict[str, Any]:
    """A reading as a person takes it: what instruments record is of other sizes."""
    return {name: value for name, value in body.items() if name not in ("by", "saw")}


def serve(page: Page, folder: Path) -> None:
    """Serve a folder under the app's own address."""

    def answer(route: Route) -> None:
        route.fulfill(path=folder / (route.request.url.partition("/api/bench/")[2] or "index.html"))

    page.context.route("**/api/bench/**", answer)


def pass_by_worker(page: Page) -> None:
    """Let nothing of a page go through the app's worker, which would answer as the app."""
    session = page.context.new_cdp_session(page)
    session.send("Network.enable")
    session.send("Network.setBypassServiceWorker", {"bypass": True})


def join(playwright: Playwright, workshop: ServedWorkshop, folder: Path) -> None:
    """Enrol a phone in a new profile; it has all that the workshop has for it."""
    with profile(playwright, folder, build=WHOLE, **PHONE) as context:
        page = context.pages[0]
        enrol(page, workshop.address, workshop.invite("mechanic", "Ada Weir"))
        expect(page.get_by_text("Everything is in the workshop.")).to_be_visible()


def fill(
    playwright: Playwright, workshop: ServedWorkshop, built: Path, folder: Path, jobs: int
) -> str:
    """Fill an enrolled phone; returns the address of its open job."""
    with profile(playwright, folder, build=WHOLE, **PHONE) as context:
        page = context.pages[0]
        pass_by_worker(page)
        serve(page, built)
        page.goto(f"{workshop.address}/api/bench/")
        page.wait_for_function("() => typeof window.fill === 'function'")
        closed, stands = job_of(None), job_of(STANDS_AT)
        for number in range(jobs):
            job, (said, secrets) = uuid7(), stands if number == jobs - 1 else closed
            call = "([job, said, secrets, bytes]) => window.fill(job, said, secrets, bytes)"
            places = page.evaluate(call, [job, said, secrets, PHOTO_BYTES])
        print(
            f"a phone with {jobs} jobs: {places['phone']} entries wait, "
            f"{places['photosWaiting']} photos, {len(said)} entries in the open job"
        )
    return f"{workshop.address}/#/bay/job/{job}"


@contextmanager
def opened(
    playwright: Playwright, folder: Path, throttle: int, *, camera: bool = True
) -> Iterator[Page]:
    """Open a profile without a line, at an empty page, slowed."""
    device = PHONE if camera else {**PHONE, "permissions": []}
    with profile(playwright, folder, build=WHOLE, **device) as context:
        page = context.pages[0]
        context.add_init_script(WATCH)
        context.set_offline(True)
        session = context.new_cdp_session(page)
        session.send("Emulation.setCPUThrottlingRate", {"rate": throttle})
        yield page


# What is measured ----------------------------------------------------------------------------


@dataclass
class Figures:
    """A quantity of some rounds, each round's figure in milliseconds."""

    name: str
    goal: float
    rounds: list[float] = field(default_factory=list)
    unit: str = "ms"

    def show(self) -> None:
        if not self.rounds:
            print(f"{self.name}: none")
            return
        best, middle = min(self.rounds), statistics.median(self.rounds)
        print(
            f"{self.name}: best {best / self.goal:.2f} of its goal ({best:.3g} {self.unit}), "
            f"median {middle / self.goal:.2f} ({middle:.3g} {self.unit}), {len(self.rounds)} rounds"
        )


def cold(playwright: Playwright, folder: Path, address: str, throttle: int) -> float:
    """Start in a new browser; it is killed in the end."""
    with opened(playwright, folder, throttle) as page:
        page.goto(address)
        page.wait_for_function("() => window.told.cold > 0", timeout=60_000)
        found = float(page.evaluate("window.told.cold"))
        kill(folder)
    return found


class Hand(Mechanic):
    """A mechanic in real time."""

    def let_it_settle(self) -> None:
        self.page.wait_for_timeout(SETTLED_MS + 150)

    def see_it_kept(self) -> None:
        self.page.wait_for_timeout(SEEN_MS + 150)

    def move_tools(self, screen: Screen) -> None:
        with suppress(TooSlow):  # once all have moved the board goes by itself, under the hand
            super().move_tools(screen)

    def tap(self, key: Locator) -> None:
        touch(self.page, key)

    def hold(self) -> None:
        before = self.read()
        touch(self.page, self.main_key, HOLD_MS + QUIET_MS)
        self.changed(before)


def touch(page: Page, key: Locator, for_ms: int = TAP_MS) -> None:
    """Tap a key, or hold it, and ask the page nothing meanwhile: that would take the tap's time."""
    key.hover()
    page.mouse.down()
    page.wait_for_timeout(for_ms)
    page.mouse.up()
    page.wait_for_timeout(QUIET_MS)


@dataclass(frozen=True)
class Tap:
    """An act that was kept: by which way, in how many ms, with a photo of how many bytes."""

    way: str
    ms: float
    size: int


@dataclass(frozen=True)
class Worked:
    """What was measured through some screens; steps are changes of the screen: ms, address."""

    taps: list[Tap]
    steps: list[tuple[float, str]]
    shots: list[float]


def worked(playwright: Playwright, folder: Path, address: str, picture: Path) -> Worked:
    """Work on in the open job, up to a wait; photos are files of 12 megapixels."""
    with opened(playwright, folder, THROTTLE, camera=False) as page:
        page.goto(address)
        hand = Hand(page, file=lambda _: picture)
        screens = 0

        def enough(screen: Screen) -> bool:
            nonlocal screens
            screens += 1
            return screens > SCREENS or "wait" in screen.asks

        hand.work(until=enough)
        told = page.evaluate("window.told")
        kill(folder)
    steps = [(one["ms"], one["came"]) for one in told["steps"]]
    return Worked([Tap(**one) for one in told["held"]], steps, told["shots"])


def floor_of(
    playwright: Playwright, folder: Path, address: str, built: Path, taps: list[Tap]
) -> tuple[dict[str, list[float]], dict[str, float]]:
    """What acts like these cost, `kept` and `whole`, and an empty tap of each way, in ms."""
    acts = [{"size": tap.size, "seals": tap.way == "hold"} for tap in taps]
    with opened(playwright, folder, THROTTLE) as page:
        serve(page, built)
        pass_by_worker(page)
        page.goto(f"{address.partition('/#')[0]}/api/bench/")
        for key in (".key-hold", ".key-keep", '[aria-label="Tool board"] button'):
            for _ in range(EMPTY_TAPS):
                tap_empty(page, key)
        empty = [Tap(**one) for one in page.evaluate("window.told.held")]
        floor: dict[str, list[float]] = page.evaluate("(acts) => window.floor(acts)", acts)
        kill(folder)
    ways = {way: [tap.ms for tap in empty if tap.way == way] for way in WAYS}
    return floor, {way: statistics.median(some) for way, some in ways.items()}


def tap_empty(page: Page, key: str) -> None:
    """Tap, or hold, a key that keeps nothing, until its mark is painted."""
    done = page.evaluate("window.told.held.length")
    touch(page, page.locator(key), HOLD_MS + QUIET_MS if key == ".key-hold" else TAP_MS)
    page.wait_for_function("(done) => window.told.held.length > done", arg=done)


def percentile(figures: list[float], share: float) -> float:
    return sorted(figures)[min(len(figures) - 1, int(share * len(figures)))]


def show_taps(taps: list[Tap], net: list[float], floor: list[float]) -> None:
    """Print one round's taps beside their floor, by way, with a photo and without one."""
    for way in WAYS:
        for name, has_photo in (("plain", False), ("photo", True)):
            some = [
                (ms, least)
                for tap, ms, least in zip(taps, net, floor, strict=True)
                if (tap.way, tap.size > 0) == (way, has_photo)
            ]
            if not some:
                continue
            tap50, tap95, least50, least95 = (
                percentile([pair[which] for pair in some], share)
                for which in (0, 1)
                for share in (0.5, 0.95)
            )
            print(
                f"  {len(some)} {name} taps ({way}): p50 {tap50:.0f} of {least50:.0f} ms, "
                f"p95 {tap95:.0f} of {least95:.0f} ms"
            )


def show_steps(steps: list[tuple[float, str]]) -> None:
    """Print how long changes of the screen took, and which were the slowest."""
    times = [ms for ms, _ in steps]
    print(
        f"  {len(steps)} changes of the screen: p50 {percentile(times, 0.5):.0f} ms, "
        f"p95 {percentile(times, 0.95):.0f} ms"
    )
    for ms, came in sorted(steps, reverse=True)[:3]:
        print(f"    {ms:.0f} ms: {came.rpartition('/')[2]}")


def slowed(playwright: Playwright, folder: Path) -> float:
    with opened(playwright, folder, 1) as page:
        unslowed = min(page.evaluate(SPIN) for _ in range(5))
    with opened(playwright, folder, THROTTLE) as page:
        return float(min(page.evaluate(SPIN) for _ in range(5)) / unslowed)


def show_size() -> None:
    """What is evaluated when, each chunk packed by itself, and what a first visit moves."""
    for name, size, goal in (
        ("evaluated for the first screen", app_size.gzipped(app_size.first_screen()), FIRST_BYTES),
        ("evaluated for the whole bay", app_size.gzipped(app_size.whole_bay()), BAY_BYTES),
        ("a first visit, without the code reader", app_size.first_visit(), VISIT_BYTES),
    ):
        print(f"{name}: {size / goal:.2f} of its goal ({size / 1000:.1f} kB packed)")
    beside = {
        one.name for one in app_size.ASSETS.glob("*.js") if one.name[:7] in ("around-", "camera-")
    }
    for chunk in sorted(app_size.whole_bay() | beside):
        print(f"  {chunk} {app_size.gzipped({chunk}) / 1000:.1f} kB")


def show_nothing_new(playwright: Playwright, folder: Path, address: str) -> None:
    """What is asked of the workshop about bundles by a phone that has them, and nothing to send."""
    with profile(playwright, folder, build=WHOLE, **PHONE) as context:
        page = context.pages[0]
        asked: list[str] = []
        context.on(
            "response",
            lambda one: (
                "/api/bundles" in one.url
                and asked.append(f"{one.status} {one.url.partition('/api/')[2]}")
            ),
        )
        page.goto(address)
        for _ in range(20):
            page.wait_for_timeout(1000)
            if asked:
                break
        page.wait_for_timeout(2000)  # it is to be the only one
        print(f"bundles with nothing new: {len(asked)} requests ({', '.join(asked)}); goal 1, 304")


def twelve_megapixels(path: Path) -> Path:
    """A photo as a phone takes it: its noise makes the file as large as a real one."""
    grain = np.random.default_rng(7).normal(0, 6, (3000, 4000, 1))
    seen = np.asarray(photograph("coffee").resize((4000, 3000)), dtype=float) + grain
    Image.fromarray(seen.clip(0, 255).astype("uint8")).save(path, "JPEG", quality=90)
    print(f"a photo of 12 megapixels: {path.stat().st_size / 1e6:.1f} MB")
    return path


def main() -> None:
    given = [int(each) for each in sys.argv[1:]]
    rounds, jobs = [*given, *(ROUNDS, JOBS)[len(given) :]]
    hatch_build.bring_up_to_date(ROOT, install=False)
    show_size()
    with tempfile.TemporaryDirectory() as name, sync_playwright() as playwright:
        folder = Path(name)
        (folder / "shop").mkdir()
        workshop = ServedWorkshop(folder / "shop")
        workshop.register_tools()
        workshop.publish(VAN)
        workshop.start()
        joined, made, copy = (folder / each for each in ("joined", "made", "copy"))
        try:
            join(playwright, workshop, joined)
            shutil.copytree(joined, made, symlinks=True)
            address = fill(playwright, workshop, build(FILL, folder / "fill"), made, jobs)
            bare = build(FLOOR.read_text(), folder / "bare")
            picture = twelve_megapixels(folder / "photo.jpg")
            quick = Figures("start without a line, not slowed", COLD_MS)
            slow = Figures("start without a line", COLD_SLOWED_MS)
            held95 = Figures("tap to held, p95", HELD_P95, unit="floors")
            held50 = Figures("tap to held, p50", HELD_P50, unit="floors")
            signed = "floors with signature and frame"
            whole95 = Figures("tap to held, nothing taken off, p95", HELD_P95, unit=signed)
            whole50 = Figures("tap to held, nothing taken off, p50", HELD_P50, unit=signed)
            step = Figures("change of the screen, p95", STEP_MS)
            shot = Figures("photo of 12 megapixels, shot to verdict", SHOT_MS)
            for _ in range(rounds):
                shutil.rmtree(copy, ignore_errors=True)
                shutil.copytree(made, copy, symlinks=True)
                quick.rounds.append(cold(playwright, copy, address, 1))
                slow.rounds.append(cold(playwright, copy, address, THROTTLE))
                told = worked(playwright, copy, address, picture)
                floor, empty = floor_of(playwright, copy, address, bare, told.taps)
                taps = [tap.ms - empty[tap.way] for tap in told.taps]
                show_taps(told.taps, taps, floor["kept"])
                show_steps(told.steps)
                whole = [tap.ms for tap in told.taps]
                for share, net, of_whole in ((0.95, held95, whole95), (0.5, held50, whole50)):
                    net.rounds.append(percentile(taps, share) / percentile(floor["kept"], share))
                    of_whole.rounds.append(
                        percentile(whole, share) / percentile(floor["whole"], share)
                    )
                step.rounds.append(percentile([ms for ms, _ in told.steps], 0.95))
                shot.rounds += told.shots
            for figures in (quick, slow, held95, held50, whole95, whole50, step, shot):
                figures.show()
            show_nothing_new(playwright, joined, workshop.address)
            print(f"the processor was slowed {slowed(playwright, copy):.1f} times")
            print(f"load of the machine: {os.getloadavg()[0]:.1f} of {os.cpu_count()}")
        finally:
            workshop.kill()


if __name__ == "__main__":
    main()
