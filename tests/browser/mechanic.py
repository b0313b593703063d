"""
A mechanic who knows nothing of the procedure: reads what the screen asks, and does that.

Figures are taken from the window that the screen shows, choices are the first row, photos are what
stands before the camera. What the engine shows otherwise is told beforehand, by the label.
"""

from __future__ import annotations

import re
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, NamedTuple

from playwright.sync_api import Locator, Page, Request, expect
from playwright.sync_api import TimeoutError as TooSlow

from browser.film import Film

READ = """() => {
  const one = (of) => document.querySelector(of)
  const text = (of) => (one(of)?.textContent ?? '').trim()
  const main = one('main.bay:not([aria-busy])')
  if (!main || !one('h1') || !one('.key-main')) return null
  const key = one('.key-main')
  if (key.matches('.working, .painted, .kept')) return null // given: another screen is on its way
  const kinds = ['hold', 'plain', 'keep', 'missing', 'file'].filter((kind) =>
    key.classList.contains(kind === 'file' ? 'file-key' : `key-${kind}`))
  const asks = {
    video: 'video', pad: '[aria-label="Number keys"]', letters: '.pad[aria-label^="Letter"]',
    dial: '.dial input', bolts: '.bolts', count: '.count',
    ticks: '.ticks, [aria-label="Tools to count"]',
    choice: '.choice', board: '[aria-label="Tool board"]', sign: 'svg.signature',
    wait: '[role="timer"]', rows: 'ul.rows .row-key', drive: 'svg.drive', torque: '.torque',
  }
  const byHand = [...document.querySelectorAll('button')]
    .some((button) => button.textContent.trim().startsWith('By hand'))
  return {
    address: location.hash, title: text('h1'), key: text('.key-main strong'),
    kind: kinds.at(-1), step: text('.head-job span:nth-child(2)').replace('· ', ''),
    trouble: text('[role="alert"]'),
    asks: [...Object.keys(asks).filter((name) => one(asks[name])), ...(byHand ? ['by hand'] : [])],
  }
}"""
# Heard of, not asked for again and again: each look would have the browser draw a frame.
READ_ONCE_CHANGED = f"""(before) => new Promise((done) => {{
  const look = () => {{
    const now = ({READ})()
    if (!now || [now.address, now.title, now.key, now.kind].join('|') === before) return
    changes.disconnect()
    done(now)
  }}
  const changes = new MutationObserver(look)
  const all = {{ subtree: true, childList: true, attributes: true, characterData: true }}
  changes.observe(document, all)
  look()
}})"""
MOVED = """([title, at, before]) => {
  const tool = document.querySelectorAll('[aria-label="Tool board"] button')[at]
  return document.querySelector('h1')?.textContent.trim() !== title
    || tool?.getAttribute('aria-pressed') !== before
}"""
BOX = """(shown) => {
  shown.scrollIntoView({ block: 'center', behavior: 'instant' })
  const { x, y, width, height } = shown.getBoundingClientRect()
  return shown.isConnected && width * height > 0 ? [x, y, width, height] : null
}"""
VIN = "ZZ9DEMA24HB000123"
# What stands on the van, on labels and on parts: nothing that the screen could tell.
AT_THE_VAN = {
    "The VIN, as it is stamped": VIN,
    "The plate": "WEIR 12",
    "The odometer": "181220",
    "Odometer": "181220",
    "Where the vehicle stands": "BAY 2",
    "Lot on the kit's box": "KN-4471",
    "Lot on the belt's sleeve": "NH-4471",
    "Torque wrench": "TW-2",
    "Teeth of the new belt": "140",
    "Teeth of the old belt": "140",
    "Teeth": "72",
    "Teeth from crankshaft mark to fuel pump mark": "39",
    "Teeth from crankshaft mark to camshaft mark": "72",
}
# A key counts as held after 600 ms.
LONG_ENOUGH_MS = 700
# Half of a double tap falls within 250 ms.
SETTLED_MS = 300
LONGEST_PAUSE_MS = 5 * 60_000
IN_TIME_S = 60
# Far above what it takes: a machine may be slow.
GOES_OUT_S = 180
# Of the real clock, for one request.
ANSWERED_S = 15
IN_THE_WORKSHOP = "in the workshop"
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


@dataclass(frozen=True)
class Screen:
    """What is on the screen: title, main key, and what is asked in between."""

    address: str
    title: str
    key: str
    kind: str
    step: str
    trouble: str
    asks: tuple[str, ...]

    @property
    def says(self) -> tuple[str, str, str, str]:
        return (self.address, self.title, self.key, self.kind)


@dataclass
class Mechanic:
    """Hands and eyes on one page of the app. `page.clock` must be installed: time is ours."""

    page: Page
    #: What a gauge shows, what stands on a label, by the title of the screen that asks for it.
    figures: dict[str, str] = field(default_factory=lambda: dict(AT_THE_VAN))
    #: The row that is true, where it is not the first, by what it answers.
    rows: dict[str, str] = field(default_factory=dict)
    #: A photo file for the screens where the camera does not open.
    file: Callable[[str], Path] | None = None
    #: What the camera sees; turned to another picture after each photo.
    film: Film | None = None
    #: Called with each screen before it is acted on.
    watch: Callable[[Screen], object] = lambda screen: None

    def __post_init__(self) -> None:
        if self.film:
            self.film.turn()  # whatever another test left before the camera

    def read(self) -> Screen:
        """Wait for a whole screen, and read it."""
        return self._read_other_than(None)

    def _read_other_than(self, before: Screen | None, *, within_s: float = 30) -> Screen:
        said: dict[str, Any] = self.page.wait_for_function(
            READ_ONCE_CHANGED,
            arg="|".join(before.says) if before else "",
            timeout=within_s * 1_000,
        ).json_value()
        return Screen(**{**said, "asks": tuple(said["asks"])})

    def work(self, until: Callable[[Screen], bool], most: int = 600) -> Screen:
        """Do what the screen asks, one screen after another, until one is reached."""
        for _ in range(most):
            screen = self.read()
            if until(screen):
                return screen
            self.watch(screen)
            self.act(screen)
        raise AssertionError(f"after {most} screens still at {screen}")

    def act(self, screen: Screen) -> None:
        """Do what one screen asks."""
        if "video" in screen.asks and screen.kind == "missing":
            return self.changed(screen)
        # Nothing sounds, turns or is tapped here: what an instrument would read is read by hand.
        if "by hand" in screen.asks:
            self.page.locator("button", has_text=re.compile("^By hand")).first.click()
            return self.changed(screen)
        for ask, answer in (
            ("board", self.move_tools),
            ("bolts", self.mark_bolts),
            ("dial", self.move_figure),
            ("count", self.count),
            ("ticks", self.tick),
            ("pad", self.type_figure),
            ("letters", self.type_letters),
            ("sign", self.sign),
            ("choice", self.choose),
            ("wait", self.wait),
            ("rows", self.take_row),
        ):
            if ask in screen.asks and screen.kind == "missing":
                answer(screen)
                return self.changed(screen)
        if screen.kind == "file":
            assert self.file, f"no camera at {screen.title!r}, and no file to give"
            self.page.get_by_label(screen.key).set_input_files(self.file(screen.title))
        elif screen.kind == "hold":
            return self.hold()
        elif screen.kind == "keep":
            self.let_it_settle()
            self.tap(self.main_key)
            self.see_it_kept()
        else:
            assert screen.kind == "plain", f"nothing can be done at {screen}"
            self.main_key.click()
            if self.film and screen.key == "Take the photo" and "video" in screen.asks:
                self.changed(screen)
                return self.film.turn()  # the next camera opens by itself
        return self.changed(screen)

    def changed(self, before: Screen) -> None:
        """Wait until the screen says something else."""
        try:
            self._read_other_than(before)
        except TooSlow as error:
            shown = self.page.locator("body").inner_text()
            raise AssertionError(f"nothing came of {before}; shown is {shown!r}") from error

    @property
    def main_key(self) -> Locator:
        return self.page.locator(".deck .key-main")

    def hold(self) -> None:
        """Hold the main key until its line is whole, and see the next screen come."""
        before = self.read()
        hold(self.page, self.main_key)
        self.page.clock.run_for(LONG_ENOUGH_MS)  # the whole line is shown for a moment
        self.changed(before)

    def tap(self, key: Locator) -> None:
        """Tap what keeps at a tap."""
        key.click()

    def let_it_settle(self) -> None:
        """What has only just come takes no tap: it may be the second half of one (`settled.ts`)."""
        self.page.clock.run_for(SETTLED_MS)

    def see_it_kept(self) -> None:
        """Let the moment pass for which what was just kept is shown."""
        self.page.clock.run_for(LONG_ENOUGH_MS)

    def type_figure(self, screen: Screen) -> None:
        """Type a figure on the pad: what the gauge shows, else the middle of the window."""
        figure = self.figures.get(screen.title) or self.middle(screen)
        pad = self.page.locator('[aria-label="Number keys"]')
        for sign in figure:
            name = {".": "point", "-": "minus"}.get(sign, sign)
            pad.get_by_role("button", name=name, exact=True).click()

    def move_figure(self, screen: Screen) -> None:
        """Put a finger on the scale where the figure stands."""
        figure = float(self.figures.get(screen.title) or self.middle(screen))
        scale = self.page.locator(".dial input")
        least, most = (float(scale.get_attribute(end) or 0) for end in ("min", "max"))
        box = box_of(scale)
        x = box.x + box.width * (figure - least) / (most - least)
        self.page.mouse.click(x, box.y + box.height / 2)

    def mark_bolts(self, screen: Screen) -> None:
        for bolt in self.page.locator(".bolts button").all():
            if bolt.get_attribute("aria-pressed") == "false":
                bolt.click()

    def middle(self, screen: Screen) -> str:
        """The middle of the window that stands over the pad; of a single figure, that figure."""
        window = [
            float(number)
            for number in NUMBER.findall(self.page.locator("label, .dial-window").inner_text())
        ]
        assert window, f"no window is shown at {screen.title!r}"
        figure = (min(window[:2]) + max(window[:2])) / 2
        return f"{figure:.2f}".rstrip("0").rstrip(".")

    def type_letters(self, screen: Screen) -> None:
        self.page.get_by_role("textbox").fill(self.figures[screen.title])

    def count(self, screen: Screen) -> None:
        for _ in range(int(screen.key.split(" of ")[1]) - int(screen.key.split(" of ")[0])):
            self.page.get_by_role("button", name="one more").click()

    def tick(self, screen: Screen) -> None:
        """Tick each thing that is listed."""
        things = self.page.locator('.ticks button, [aria-label="Tools to count"] button')
        for thing in things.all():
            if thing.get_attribute("aria-pressed") == "false":
                thing.click()
                expect(thing).to_have_attribute("aria-pressed", "true")

    def choose(self, screen: Screen) -> None:
        asked = self.page.locator(".choice")
        rows = asked.get_by_role("button")
        wanted = self.rows.get(asked.get_attribute("aria-label") or "")
        self.let_it_settle()
        (rows.filter(has_text=wanted) if wanted else rows).first.click()
        self.see_it_kept()  # where a later hold seals it

    def take_row(self, screen: Screen) -> None:
        wanted = self.rows.get(screen.title)
        rows = self.page.get_by_role("listitem").get_by_role("button")
        # Procedures come in with the first round of sync: until then there is but this row.
        rows = rows.filter(has_not_text="The block says something else")
        (rows.filter(has_text=wanted) if wanted else rows).first.click()

    def move_tools(self, screen: Screen) -> None:
        """Tap each tool that is not yet where the screen wants it."""
        there = "false" if screen.title.startswith("Take") else "true"
        tools = self.page.get_by_role("group", name="Tool board").get_by_role("button")
        for at in range(tools.count()):
            if tools.nth(at).get_attribute("aria-pressed") == there:
                self.tap(tools.nth(at))
                # After the last one the next screen may be there at once, another board even.
                self.page.wait_for_function(MOVED, arg=[screen.title, at, there])
        self.see_it_kept()

    def wait(self, screen: Screen) -> None:
        """Let the time pass that the screen still counts."""
        minutes = int(screen.key.split(":")[0]) + 1
        self.page.clock.fast_forward(minutes * 60_000)

    def sign(self, screen: Screen) -> None:
        box = box_of(self.page.locator("svg.signature"))
        mouse = self.page.mouse
        mouse.move(box.x + 40, box.y + 90)
        mouse.down()
        for at in range(12):
            mouse.move(box.x + 40 + 18 * at, box.y + 90 + (30 if at % 2 else -30))
        mouse.up()


def goes_out(
    page: Page, sign: Locator, *, gone: bool = False, within_s: float = GOES_OUT_S
) -> None:
    """
    Let the pauses between tries pass until a sign is there, or gone, that all is in the workshop.

    Held keys make the page's clock run ahead of the server: a request may have been given up for
    it, and what was given up is tried again after up to five minutes. A pause that passes while
    something is asked ends that as well: it is answered first, unless the line hangs.
    """
    until = time.monotonic() + within_s
    with under_way(page) as asked:
        while sign.is_visible() is gone:
            assert time.monotonic() < until, f"{'still' if gone else 'not'} seen: {sign}"
            page.clock.fast_forward(LONGEST_PAUSE_MS)
            with suppress(TooSlow):
                sign.wait_for(state="hidden" if gone else "visible", timeout=1_000)
            hangs = time.monotonic() + ANSWERED_S
            while asked and sign.is_visible() is gone and time.monotonic() < hangs:
                page.wait_for_timeout(50)


@contextmanager
def under_way(page: Page) -> Iterator[set[Request]]:
    """What a page asks from now on, and has not been answered."""
    asked: set[Request] = set()

    def begins(request: Request) -> None:
        asked.add(request)

    def ends(request: Request) -> None:
        asked.discard(request)

    hears = {"request": begins, "requestfinished": ends, "requestfailed": ends}
    for event, hear in hears.items():
        page.on(event, hear)
    yield asked
    for event, hear in hears.items():
        page.remove_listener(event, hear)


def comes_to(page: Page, place: str = IN_THE_WORKSHOP) -> None:
    """Let the pauses between tries pass until the head band says that all of the job is there."""
    goes_out(page, page.locator(".head-place", has_text=re.compile(f"^{place}$")))


class Box(NamedTuple):
    """Where something stands, in pixels of the window."""

    x: float
    y: float
    width: float
    height: float


def box_of(shown: Locator) -> Box:
    """
    Scroll something into view, and measure it.

    The page does both at once: what is drawn anew between two questions of ours (the next screen
    comes, sync brings something in) would be found, and gone when it is asked where it stands.
    """
    until = time.monotonic() + IN_TIME_S
    while (box := shown.evaluate(BOX)) is None:  # found, and gone before the page was asked
        assert time.monotonic() < until, f"no room is taken by {shown}"
    return Box(*box)


def hold(page: Page, key: Locator) -> None:
    """Hold a key with a slot until its line is whole, or it is gone: the act is on this device."""
    box = box_of(key)
    page.mouse.move(box.x + box.width / 2, box.y + box.height / 2)
    page.mouse.down()
    page.clock.run_for(LONG_ENOUGH_MS)
    expect(page.locator(".key-hold.holding, .key-hold.working")).to_have_count(0)
    page.mouse.up()
