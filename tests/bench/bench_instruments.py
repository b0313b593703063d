"""
What the camera's and the gyro's instruments reach, against the figures our design published.

Run by hand: `PYTHONPATH=server:tests python tests/bench/bench_instruments.py`, behind it any of
marks, turn, sharpness, time. Some five minutes for all; the last one needs Chromium and Node.
"""

import base64
import io
import os
import sys
import tempfile
from collections import Counter
from pathlib import Path

import numpy as np
from PIL import Image
from playwright.sync_api import CDPSession, sync_playwright

import gyro
import pinhole
import shots
from browser.chromium import WHOLE, launched
from bundled import bundled
from twoturns.instruments.marks import Marks, measure_marks
from twoturns.instruments.sharpness import quality_of_photo, quality_of_pixels
from twoturns.instruments.turn import Turn, measure_turn

SEED = 20261125


def spread(errors: list[float]) -> str:
    if not errors:
        return "nothing measured"
    size = np.abs(errors)
    rms = np.sqrt(np.mean(np.square(errors)))
    return f"rms {rms:.3f} p95 {np.percentile(size, 95):.3f} max {size.max():.3f}"


def marks() -> None:
    print("marks: teeth; 1,000 photos a row. Published, R 400, 3 px, tilt < 15: rms 0.075")
    rows = [(pinhole.Scene(tilt_deg=tilt, apart=1.0), {}) for tilt in (0, 5, 10, 15, 20, 25, 30)]
    for tilt in (10, 15, 20):
        deep = pinhole.Scene(tilt_deg=tilt, apart=1.0, pointer_depth_mm=5, hub_height_mm=10)
        rows.append((deep, {"mark_taps": 2}))
    rows += [
        (pinhole.Scene(tilt_deg=15, apart=1.0, teeth=22, span=4), {}),
        (pinhole.Scene(tilt_deg=15, apart=1.0), {"radius_seen": 310}),
        (pinhole.Scene(tilt_deg=15, apart=1.0), {"finger": 6}),
        (pinhole.Scene(tilt_deg=15, apart=0.0), {"finger": 6}),
    ]
    for scene, how in rows:
        for far in (False, True):
            rng = np.random.default_rng(SEED)
            errors, said = [], Counter()
            for _ in range(1000):
                found = measure_marks(pinhole.sheet(scene, rng, far=far, **how))
                said[found.verdict if isinstance(found, Marks) else found.code] += 1
                if isinstance(found, Marks):
                    errors.append(found.teeth_milli / 1000 - scene.apart)
            name = (
                f"tilt {scene.tilt_deg:>2} teeth {scene.teeth} apart {scene.apart} "
                f"depth {scene.pointer_depth_mm:.0f} {how or ''} {'seven' if far else 'five'} taps"
            )
            print(f"  {name}: {spread(errors)} | {dict(said.most_common())}")


def turn() -> None:
    print("turn: degrees; 300 captures a row. Published p95 in brackets")
    rows = {
        "90 in 3 s, scale sd 1 % [2.03]": gyro.Motion(),
        "scale exact [0.87]": gyro.Motion(scale_sd=0),
        "scale sd 3 % [5.07]": gyro.Motion(scale_sd=0.03),
        "in 15 s [2.24]": gyro.Motion(seconds=15),
        "wobble 10 [1.70]": gyro.Motion(wobble_deg=10),
        "45 [1.01]": gyro.Motion(angle_deg=45, seconds=2),
        "180 [3.89]": gyro.Motion(angle_deg=180, seconds=4),
        "mounting to 40 [1.76]": gyro.Motion(mounting_deg=40),
        "two turns in 25 s": gyro.Motion(angle_deg=720, seconds=25),
    }
    for name, motion in rows.items():
        rng = np.random.default_rng(SEED)
        found = [measure_turn(gyro.sheet(motion, rng)) for _ in range(300)]
        turns = [one for one in found if isinstance(one, Turn)]
        errors = [one.mdeg / 1000 - motion.angle_deg for one in turns]
        held = np.mean(
            [abs(e) * 1000 <= one.tolerance_mdeg for e, one in zip(errors, turns, strict=True)]
        )
        print(f"  {name}: {spread(errors)} | within its tolerance {held:.1%}")


def sharpness() -> None:
    print("sharpness: ten free photos, six blurs each. Published: all kept, 83-87 %, AUC 0.990")
    for sigma in (0, 2, 5, 8):
        rng = np.random.default_rng(SEED)
        kept, spoilt, ordered = [], [], []
        for name in shots.SHARP:
            gray = shots.small(name)
            noise = rng.normal(size=gray.shape) * sigma
            pictures = [gray, *(shots.blurred(gray, kernel) for kernel in shots.BLURS.values())]
            figures = [quality_of_pixels(shots.taken(p, noise)).sharp_tenths / 10 for p in pictures]
            kept.append(figures[0])
            spoilt += figures[1:]
            ordered += [figure < figures[0] for figure in figures[1:]]
        low, blur = np.array(kept), np.array(spoilt)
        print(
            f"  noise {sigma}: sharp least {low.min()} median {np.median(low):.1f}, blurred median "
            f"{np.median(blur):.1f} most {blur.max()} | at 25: kept {np.mean(low >= 25):.0%}, "
            f"blurred below 25 {np.mean(blur < 25):.0%}, below 33 {np.mean(blur < 33):.0%}, below "
            f"0.9 of the least {np.mean(blur < 0.9 * low.min()):.0%}, AUC "
            f"{np.mean(low[:, None] > blur):.3f}, right order in one scene {np.mean(ordered):.0%}"
        )


def large_photo() -> bytes:
    """12 million pixels with the detail and noise of a photo."""
    small = Image.fromarray(shots.photo("coffee")).resize((4000, 3000), Image.Resampling.BICUBIC)
    noise = np.random.default_rng(SEED).normal(size=(3000, 4000, 1)) * 4
    out = io.BytesIO()
    pixels = np.clip(np.asarray(small) + noise, 0, 255).astype(np.uint8)
    Image.fromarray(pixels).save(out, "JPEG", quality=90)
    return out.getvalue()


TIMED = """async ([text, often]) => {
  const bytes = Uint8Array.from(atob(text), (char) => char.charCodeAt(0))
  const took = []
  let longest = 0, told
  const watch = new PerformanceObserver((list) => {
    for (const entry of list.getEntries()) longest = Math.max(longest, entry.duration)
  })
  watch.observe({ entryTypes: ['longtask'] })
  for (let i = 0; i < often; i++) {
    const began = performance.now()
    told = await photo.photoQuality(new Blob([bytes], { type: 'image/jpeg' }))
    took.push(performance.now() - began)
  }
  await new Promise((go) => setTimeout(go, 100))
  return { took: took.sort((a, b) => a - b), longest, told }
}"""


def thread_ms(session: CDPSession) -> float:
    metrics = session.send("Performance.getMetrics")["metrics"]
    return 1000 * next(one["value"] for one in metrics if one["name"] == "TaskDuration")


def time() -> None:
    """A second is what a mechanic waits before the next bolt."""
    file = large_photo()
    with tempfile.TemporaryDirectory() as folder:
        script = bundled("instruments/sharpness-photo.ts", "photo", Path(folder))
    load = os.getloadavg()[0]
    print(f"time: a JPEG of 12 Mpx, {len(file) / 1e6:.1f} MB; load of the machine {load:.1f}")
    with sync_playwright() as playwright:
        browser = launched(playwright, build=WHOLE)
        page = browser.new_page()
        page.add_script_tag(content=script)
        session = page.context.new_cdp_session(page)
        # What a busy machine cannot spoil: the processor's time on the page's thread. The decoder
        # has a thread of its own.
        session.send("Performance.enable", {"timeDomain": "threadTicks"})
        before = thread_ms(session)
        page.evaluate(TIMED, [base64.b64encode(file).decode(), 5])
        own = (thread_ms(session) - before) / 5
        print(f"  processor time of the page {own:.0f} ms, four times slower {own / 250:.2f} s")
        for rate in (1, 4):
            session.send("Emulation.setCPUThrottlingRate", {"rate": rate})
            found = page.evaluate(TIMED, [base64.b64encode(file).decode(), 7])
            middle = found["took"][3]
            print(
                f"  throttle {rate}: median {middle:.0f} ms, worst {found['took'][-1]:.0f} ms, "
                f"ratio to 1 s {middle / 1000:.2f}; longest task {found['longest']:.0f} ms"
            )
        print(f"  browser {found['told']}, server {quality_of_photo(file)}")
        browser.close()


PARTS = {"marks": marks, "turn": turn, "sharpness": sharpness, "time": time}

if __name__ == "__main__":
    for part in sys.argv[1:] or PARTS:
        PARTS[part]()
