"""
What a whole job asks of the hand, counted by the page's own events.

Run by hand: `PYTHONPATH=server:tests python tests/bench/bench_weight.py [JOB ...]`, by default of
the three demo jobs. The browser's mechanic does each straight job, all measured by hand. Printed
are touches, holds, screens, photos and typed characters of the steps, without what opens and closes
a job, beside the goals (issue of the project, no source), and each step where `weigh` counts
otherwise. It counts an instrument of the phone as one touch, the bench the way by hand: one touch
more, or as many as the figure has characters, for each of those readings.
"""

from __future__ import annotations

import re
import sys
import tempfile
from collections import Counter
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, Page, sync_playwright

import hatch_build
from browser.app import enrol
from browser.chromium import PHONE, launched
from browser.film import Film
from browser.mechanic import AT_THE_VAN, Mechanic, Screen
from browser.serving import ROOT, ServedWorkshop
from demo_procedures import HATCH, ROADSIDE, VAN, bundle_of
from twoturns.procedure import shape
from twoturns.procedure.prove.weight import INSTRUMENTS, weigh

#: Of each step that must be done; photos of the van and the roadside, characters of any job.
TOUCHES, HOLDS, SCREENS = 4.5, 1.1, 2.6
PHOTOS = {VAN: 18, HATCH: 18, ROADSIDE: 12}
CHARACTERS = 12
#: What stands on the other two vehicles and their labels.
AT_THEM = AT_THE_VAN | {
    "Teeth from crankshaft mark to inlet mark": "66",
    "Teeth from crankshaft mark to exhaust mark": "91",
}
#: Every touch of a finger and every new heading, with the address it came on.
COUNT = """
window.counted = []
const add = (what) => counted.push([what, location.hash])
addEventListener('pointerdown', ({ target }) => {
  if (!target.closest('button, input, summary, svg.signature')) return
  if (document.querySelector('video') && target.closest('.key-main')) add('photos')
  if (target.closest('[aria-label="Number keys"], .pad-letters')) add('characters')
  else add(target.closest('.key-hold') ? 'holds' : 'touches')
}, true)
addEventListener('DOMContentLoaded', () => {
  let before = ''
  const settled = new MessageChannel() // after what is drawn in the same moment, by no clock
  new MutationObserver(() => settled.port2.postMessage(null)).observe(document, {
    subtree: true, childList: true, characterData: true,
  })
  settled.port1.onmessage = () => {
    const head = document.querySelector('main.bay h1')?.textContent
    const now = `${location.hash} ${head}`
    if (head === undefined || now === before) return
    before = now
    add('screens')
  }
})
"""


def counted(page: Page) -> list[list[str]]:
    """Take what was counted since it was last asked."""
    found: list[list[str]] = page.evaluate("counted.splice(0)")
    return found


def whole_job(browser: Browser, film: Film, folder: Path, job: str) -> dict[str, Counter[str]]:
    """Let the mechanic do a job; give what each step asked, by its number."""
    folder.mkdir()
    workshop = ServedWorkshop(folder)
    workshop.register_tools()
    workshop.publish(job)
    workshop.start()
    context = browser.new_context(**PHONE)
    try:
        page = context.new_page()
        page.clock.install()
        page.add_init_script(COUNT)
        enrol(page, workshop.address, workshop.invite("mechanic", "Ada Weir"))
        page.get_by_role("button", name="Open a job").click()
        mechanic = Mechanic(page, figures=dict(AT_THEM), film=film)
        bundle = bundle_of(job)
        numbers = {step["id"]: step["number"] for step in bundle["steps"]}
        photos = {
            (step["id"], proof["name"])
            for step in bundle["steps"]
            for proof in step["proof"]
            if proof["kind"] == "photo"
        }
        steps: dict[str, Counter[str]] = {}
        now = ""

        def watch(screen: Screen) -> None:
            nonlocal now
            for what, address in counted(page):
                of = re.search(r"/step/(\w+)(?:/give/(\w+))?", address)
                if what == "photos" and of and (of[1], of[2]) not in photos:
                    continue  # a code is read by the camera, too
                steps.setdefault(numbers[of[1]] if of else now, Counter())[what] += 1
            now = screen.step

        mechanic.watch = watch
        watch(mechanic.work(until=lambda screen: screen.title.startswith("Closed:")))
        return steps
    finally:
        context.close()
        workshop.kill()


def by_weigh(bundle: shape.Bundle) -> dict[str, dict[str, int]]:
    """What `weigh` says of each step, by its number."""
    return {
        bundle["steps"][at]["number"]: {
            name: getattr(weight, name) for name in ("touches", "holds", "photos", "characters")
        }
        for at, weight in weigh(bundle).steps
    }


def by_hand(bundle: shape.Bundle, number: str) -> int:
    """How many readings of a step an instrument would take."""
    (step,) = [step for step in bundle["steps"] if step["number"] == number]
    return sum(any(way in INSTRUMENTS for way in proof.get("by", [])) for proof in step["proof"])


def show(job: str, steps: dict[str, Counter[str]]) -> None:
    bundle = bundle_of(job)
    said = by_weigh(bundle)
    whole: Counter[str] = sum((steps.get(number, Counter()) for number in said), Counter())
    goals: dict[str, Any] = {
        "touches": TOUCHES * len(said),
        "holds": HOLDS * len(said),
        "screens": SCREENS * len(said),
        "photos": PHOTOS[job],
        "characters": CHARACTERS,
    }
    print(f"{job}, {len(said)} steps")
    for what, goal in goals.items():
        weighed = sum(each[what] for each in said.values()) if what != "screens" else "-"
        print(f"  {what}: {whole[what]} (goal {goal:.0f}; weigh {weighed})")
    print(
        "  screens of each step:",
        {number: steps.get(number, Counter())["screens"] for number in said},
    )
    for number, weights in said.items():
        seen = {what: steps.get(number, Counter())[what] for what in weights}
        if seen != weights:
            print(f"  {number}: {seen}, weigh {weights}, {by_hand(bundle, number)} by hand")


def main() -> None:
    hatch_build.bring_up_to_date(ROOT, install=False)
    with tempfile.TemporaryDirectory() as name, sync_playwright() as playwright:
        film = Film(Path(name) / "film.mjpeg")
        browser = launched(playwright, f"--use-file-for-fake-video-capture={film.path}")
        for job in sys.argv[1:] or (VAN, HATCH, ROADSIDE):
            show(job, whole_job(browser, film, Path(name) / job, job))
        browser.close()


if __name__ == "__main__":
    main()
