"""Debian's Chromium as a phone: a profile that survives a kill, a fake camera, and the kill."""

from __future__ import annotations

import io
import os
import shutil
import signal
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from PIL import Image
from playwright.sync_api import Browser, BrowserContext, Playwright

EXECUTABLE = shutil.which("chromium") or "/usr/bin/chromium"
HEADLESS_SHELL = shutil.which("chromium-headless-shell")
# A container runs as root and has no GPU; the rest keeps the browser from calling home.
ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
    "--use-fake-device-for-media-stream",
]


@dataclass(frozen=True)
class Build:
    """One of Debian's builds of the browser, and the arguments it always has."""

    executable: str
    arguments: tuple[str, ...]


WHOLE = Build(EXECUTABLE, tuple(ARGUMENTS))
# Without all that belongs to a window: a job takes three fifths of the processor's time. It knows
# no Background Sync, and no question whether a page may have camera, microphone or sensors: what
# refuses those, or wakes the worker, is for the whole one. Where it is missing the whole one does.
LEAN = (
    Build(HEADLESS_SHELL, (*ARGUMENTS, "--use-fake-ui-for-media-stream"))
    if HEADLESS_SHELL
    else WHOLE
)
PHONE = {
    "viewport": {"width": 360, "height": 740},
    "device_scale_factor": 2,
    "is_mobile": True,
    "has_touch": True,
    "permissions": ["camera"],
}
DESK = {"viewport": {"width": 1280, "height": 800}}


def camera_film(pictures: list[Image.Image], path: Path) -> Path:
    """Write pictures of one size as the camera's endless film: one JPEG behind the other."""
    with path.open("wb") as film:
        for picture in pictures:
            frame = io.BytesIO()
            picture.convert("RGB").save(frame, "JPEG", quality=92)
            film.write(frame.getvalue())
    return path


def launched(playwright: Playwright, *also: str, build: Build = LEAN) -> Browser:
    """Start a browser that keeps nothing, with more arguments than its build always has."""
    return playwright.chromium.launch(
        executable_path=build.executable, args=[*build.arguments, *also]
    )


@contextmanager
def profile(
    playwright: Playwright,
    folder: Path,
    *,
    film: Path | None = None,
    also: Sequence[str] = (),
    build: Build = LEAN,
    **device: object,
) -> Iterator[BrowserContext]:
    """
    Open a persistent browser profile; what it stores is there again at the next opening.

    Args:
        also: More of the browser's own arguments.
    """
    arguments = [*build.arguments, *also]
    if film:
        arguments.append(f"--use-file-for-fake-video-capture={film}")
    context = playwright.chromium.launch_persistent_context(
        str(folder), executable_path=build.executable, headless=True, args=arguments, **device
    )
    try:
        yield context
    finally:
        if browser_process(folder) is not None:
            context.close()


def browser_process(folder: Path) -> int | None:
    """Return the id of the process that holds a profile; only it carries the folder's name."""
    for entry in Path("/proc").iterdir():
        if not entry.name.isdigit():
            continue
        try:
            words = (entry / "cmdline").read_bytes().split(b"\0")
        except OSError:
            continue
        if f"--user-data-dir={folder}".encode() in words and not any(
            word.startswith(b"--type=") for word in words
        ):
            return int(entry.name)
    return None


def kill(folder: Path) -> None:
    """Kill the browser of a profile and all its children at once, as an empty battery would."""
    root = browser_process(folder)
    assert root is not None, f"no browser runs on {folder}"
    # All stand still before the first is gone, and pages before what holds their database: one
    # that outlived it for a moment would write its journal on.
    processes = sorted([*descendants(root), root], key=is_page, reverse=True)
    for end in (signal.SIGSTOP, signal.SIGKILL):
        for process in processes:
            with suppress(ProcessLookupError):
                os.kill(process, end)
    while browser_process(folder) is not None:  # the system ends it in its own time
        time.sleep(0.01)


def is_page(process: int) -> bool:
    try:
        return b"--type=renderer" in Path(f"/proc/{process}/cmdline").read_bytes()
    except OSError:
        return False


def descendants(root: int) -> list[int]:
    parents: dict[int, list[int]] = {}
    for entry in Path("/proc").iterdir():
        if entry.name.isdigit():
            try:
                stat = (entry / "stat").read_text()
            except OSError:
                continue
            parents.setdefault(int(stat.rpartition(")")[2].split()[1]), []).append(int(entry.name))
    found, todo = [], [root]
    while todo:
        children = parents.get(todo.pop(), [])
        found += children
        todo += children
    return found
