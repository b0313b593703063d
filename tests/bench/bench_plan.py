"""
How long the phone's plan takes in Chromium on a processor slowed to a quarter, after each failure.

Run by hand: `PYTHONPATH=server:tests python tests/bench/bench_plan.py`.

Each failure of the van's and the hatch's straight job is written into a log at its place; the page
folds the log, and plans from there. Prints p50, p95 and the worst of the plans as ratios to their
limits (p95 10 ms, worst 100 ms), and the folds beside them: the phone does both for one screen,
after that screen's last act was painted. A busy machine makes every figure worse, so the best of
some runs of each situation counts; `first` is each one's first run, whatever else went on. Printed
last is how many times slower a plain loop was, which should be four.
"""

import json
import subprocess
import tempfile
from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path
from typing import Any

from playwright.sync_api import Page, sync_playwright

from bench.bench_phone import SPIN
from browser.chromium import WHOLE, launched
from demo_procedures import HATCH, VAN, bundle_of, loaded
from peer import CLIENT, find_node
from twoturns.demo.scripted_phone import Photo, ScriptedPhone, Work, logged
from twoturns.ledger.keys import SigningKey
from workshop import NOON, uuid7

THROTTLE = 4
P95_MS, WORST_MS = 10, 100
RUNS = 15
VEHICLE = {"vin": "V", "plate": "P", "odometer_km": 1, "engine_code": "QL-19D4", "bay": "2"}

# The rooms' own functions, on a page. The plan is timed alone, on a machine that was read before:
# a phone reads it once a bundle.
PAGE = """
import { fold } from '@/procedure/fold'
import { machineOf } from '@/procedure/machine'
import { plan } from '@/procedure/plan'
import { todoOf } from '@/procedure/state'

const best = (runs, work) => {
  let least = Infinity
  for (let n = 0; n < runs; n++) {
    const from = performance.now()
    work()
    least = Math.min(least, performance.now() - from)
  }
  return least
}

window.measure = (source, logs, runs) => {
  const machine = machineOf(source)
  return logs.map((entries) => {
    const state = fold(machine, entries)
    const todo = todoOf(state)
    const planOf = () => plan(machine, state.conditions, todo, { lost: state.lost })
    const from = performance.now()
    planOf()
    const first = performance.now() - from
    return { first, plan: best(runs, planOf), fold: best(runs, () => fold(machine, entries)) }
  })
}
"""


def photo(step: str, name: str) -> Photo:
    return Photo(f"{step} {name}".encode(), 640, 480)


def situations(name: str) -> Iterator[tuple[str, list[dict[str, Any]]]]:
    """Yield every failure of the straight job with the log up to it."""
    bundle = bundle_of(name)
    for step in bundle["steps"]:
        for failure in step["fails"]:
            key = SigningKey.generate()
            phone = ScriptedPhone(key, key.thumbprint, uuid7(), NOON, bytes)
            work = Work(bundle, uuid7(), photo)
            work.open(phone, loaded(name).sha256, VEHICLE)
            work.run(phone, until=step["id"])
            work.fail(phone, step["id"], failure["id"])
            log = [asdict(logged(one)) for one in work.log]
            yield f"{step['id']} {failure['id']}", log


def build(folder: Path) -> str:
    """Build the page's script and return it."""
    (folder / "page.js").write_text(PAGE)
    config = folder / "vite.config.mjs"
    config.write_text(
        "export default { publicDir: false, logLevel: 'error', "
        f"resolve: {{ alias: {{ '@': {json.dumps(str(CLIENT / 'src'))} }} }}, "
        f"build: {{ outDir: {json.dumps(str(folder / 'built'))}, "
        f"lib: {{ entry: {json.dumps(str(folder / 'page.js'))}, name: 'bench', formats: ['iife'], "
        "fileName: 'bench' } } }"
    )
    vite = CLIENT / "node_modules" / "vite" / "bin" / "vite.js"
    command = [find_node(), str(vite), "build", "--config", str(config)]
    subprocess.run(command, cwd=CLIENT, check=True)
    (script,) = (folder / "built").glob("*.js")
    return script.read_text()


def percentile(figures: list[float], share: float) -> float:
    return sorted(figures)[min(len(figures) - 1, int(share * len(figures)))]


def bench(page: Page, name: str) -> None:
    bundle = bundle_of(name)
    places, logs = zip(*situations(name), strict=True)
    source = {"machine": bundle["machine"], "rules": bundle["rules"]}
    found = page.evaluate("([s, l, r]) => window.measure(s, l, r)", [source, list(logs), RUNS])
    for what in ("plan", "first"):
        times = [each[what] for each in found]
        p50, p95, worst = percentile(times, 0.5), percentile(times, 0.95), max(times)
        print(
            f"{name}, {len(times)} situations, {what} of each: p50 {p50:.1f} ms, "
            f"p95 {p95 / P95_MS:.2f} of its limit ({p95:.1f} ms), "
            f"worst {worst / WORST_MS:.2f} of its limit ({worst:.1f} ms: "
            f"{places[times.index(worst)]})"
        )
    folds = [each["fold"] for each in found]
    both = [each["fold"] + each["plan"] for each in found]
    print(
        f"{name}: fold p50 {percentile(folds, 0.5):.1f} ms, worst {max(folds):.1f} ms; "
        f"fold and plan p95 {percentile(both, 0.95):.1f} ms, worst {max(both):.1f} ms"
    )


def main() -> None:
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        script = build(Path(folder))
        browser = launched(playwright, build=WHOLE)
        page = browser.new_page()
        page.add_script_tag(content=script)
        unslowed = min(page.evaluate(SPIN) for _ in range(RUNS))
        session = page.context.new_cdp_session(page)
        session.send("Emulation.setCPUThrottlingRate", {"rate": THROTTLE})
        for name in (VAN, HATCH):
            bench(page, name)
        slowed = min(page.evaluate(SPIN) for _ in range(RUNS))
        print(f"the processor was slowed {slowed / unslowed:.1f} times")
        browser.close()


if __name__ == "__main__":
    main()
