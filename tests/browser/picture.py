"""
The README's picture, from the real app: a demo's half-way job at the step that sets the pointer.

By hand: `PYTHONPATH=server:tests:tests/browser python tests/browser/picture.py`
"""

import re
import subprocess
import sys
import tempfile
from pathlib import Path

from chromium import PHONE, profile
from playwright.sync_api import Page, sync_playwright

HERE = Path(__file__).resolve().parent
PORT = "8467"
TWOTURNS = [sys.executable, "-c", "from twoturns.cli import main; main()"]


def hold(page: Page) -> None:
    """Hold the main key until the paint has run down."""
    page.locator(".key-hold").hover()
    page.mouse.down()
    page.locator(".key-hold.painted, .key-hold.working").first.wait_for()
    page.mouse.up()


def main() -> None:
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        demo = subprocess.Popen(
            [*TWOTURNS, "demo", "--data", f"{folder}/data", "--port", PORT],
            stdout=subprocess.PIPE,
            text=True,
        )
        try:
            assert demo.stdout is not None
            link = next(found for line in demo.stdout if (found := re.search(r"http\S+", line)))
            with profile(playwright, Path(folder) / "profile", **PHONE) as context:
                page = context.pages[0]
                page.goto(link.group())
                page.get_by_role("button", name="join this workshop").click()
                page.get_by_role("button", name="TBR 2260").click()
                page.get_by_role("button", name="later").click()
                page.get_by_role("button", name="Go on with").click()
                hold(page)
                page.locator("svg.drive").wait_for()
                page.wait_for_function("document.fonts.status === 'loaded'")
                page.screenshot(path=str(HERE / "pictures" / "step.png"))
        finally:
            demo.terminate()
            demo.wait(30)


if __name__ == "__main__":
    main()
