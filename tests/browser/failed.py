"""
What a browser test that fails leaves in `tests/failed/`: its pages, traces, what servers said.

A context may be closed by the test itself on its way out, or by a fixture long after: it is kept
at whichever comes first, the closing or the report. `playwright show-trace FILE` opens a trace.
"""

from __future__ import annotations

import re
import shutil
import sys
from collections.abc import Callable, Iterator
from contextlib import suppress
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, BrowserType, Error

from browser.serving import ROOT, ServedWorkshop

FAILED = ROOT / "tests" / "failed"
#: So much of a server's log stands in the report.
LAST_LINES = 30
PATIENCE_MS = 5_000


class Kept:
    """The contexts that are open in this process, and where the test that runs would leave them."""

    def __init__(self) -> None:
        self.contexts: list[BrowserContext] = []
        self.folder = FAILED

    def begin(self, test: str) -> None:
        self.folder = FAILED / re.sub(r"[^\w.-]+", "-", test.removeprefix("tests/"))[:150]
        shutil.rmtree(self.folder, ignore_errors=True)

    def keep(self, context: BrowserContext) -> None:
        """Write what a context shows and did; one that was killed has nothing to show."""
        if context not in self.contexts:
            return
        self.contexts.remove(context)
        self.folder.mkdir(parents=True, exist_ok=True)
        number = len(list(self.folder.glob("trace-*.zip"))) + 1
        with suppress(Error):
            for at, page in enumerate(context.pages, 1):
                page.screenshot(path=self.folder / f"page-{number}-{at}.png", timeout=PATIENCE_MS)
        with suppress(Error):
            context.tracing.stop(path=self.folder / f"trace-{number}.zip")

    def keep_logs(self) -> str:
        """Copy what each server of the test said, and return the end of it."""
        ends = []
        for number, workshop in enumerate(ServedWorkshop.heard, 1):
            self.folder.mkdir(parents=True, exist_ok=True)
            said = workshop.log.read_text(errors="replace")
            (self.folder / f"server-{number}.txt").write_text(said)
            ends += [f"server {number}:", *said.splitlines()[-LAST_LINES:]]
        return "\n".join(ends)


kept = Kept()


def traced(opened: Callable[..., BrowserContext]) -> Callable[..., BrowserContext]:
    def open_traced(*words: Any, **named: Any) -> BrowserContext:
        context = opened(*words, **named)
        context.tracing.start(title=kept.folder.name)
        kept.contexts.append(context)
        return context

    return open_traced


def kept_first(close: Callable[..., None]) -> Callable[..., None]:
    def close_kept(context: BrowserContext, *words: Any, **named: Any) -> None:
        if sys.exc_info()[0] is not None:  # on the way out of a test that failed
            kept.keep(context)
        elif context in kept.contexts:
            kept.contexts.remove(context)
        close(context, *words, **named)

    return close_kept


# Every test opens its contexts by these, some deep in a helper: there is no other one place.
Browser.new_context = traced(Browser.new_context)
BrowserType.launch_persistent_context = traced(BrowserType.launch_persistent_context)
BrowserContext.close = kept_first(BrowserContext.close)


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_setup(item: pytest.Item) -> None:
    kept.begin(item.nodeid)
    ServedWorkshop.heard[:] = [one for one in ServedWorkshop.heard if one.is_running]


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item) -> Iterator[None]:
    report = yield
    if report.failed and report.when != "teardown" and item.get_closest_marker("browser"):
        for context in list(kept.contexts):
            kept.keep(context)
        report.sections.append((f"left in {kept.folder.relative_to(ROOT)}", kept.keep_logs()))
    return report
