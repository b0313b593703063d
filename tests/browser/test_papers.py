"""
The papers of a job: each is one page of its size with nothing cut, and the customer's page opens.

What Chromium prints is read as PDF (ISO 32000-1, 7.7.3.3: a page's MediaBox, in 1/72 inch).
"""

import io
import re
import time

import pytest
from playwright.sync_api import expect

from browser.app import joined, violations
from browser.chromium import DESK, PHONE
from browser.serving import PATIENCE_S
from twoturns.bag.verify import verify

pytestmark = [pytest.mark.browser, pytest.mark.slow(12)]

MM = 72 / 25.4
A4, A6, A7 = (210, 297), (148, 105), (105, 74)  # mm, ISO 216; the notes lie on their side
SIZES = {
    "sticker": {"89 × 36": (89, 36), "62 × 29": (62, 29), "100 × 50": (100, 50)},
    "tag": {"A7": A7, "100 × 50": (100, 50)},
    "coolant": {"A6": A6, "100 × 50": (100, 50)},
}
# The words of a label that stand outside of it, or over one another's line, would be cut in print.
CUT = """() => {
  const label = document.querySelector('.paper').getBoundingClientRect()
  const sticker = document.querySelector('.sticker')
  const lines = [...sticker.children].map((line) => line.getBoundingClientRect())
  const isOut = ({ bottom, right }) => bottom > label.bottom + 0.5 || right > label.right + 0.5
  const out = lines.filter(isOut)
  const over = lines.filter((line, at) => at > 0 && line.top < lines[at - 1].bottom - 0.5)
  return [out.length, over.length, sticker.scrollHeight > sticker.clientHeight + 1]
}"""


# Four parts with long names, as `stickers.tsx` sets them.
FULL = """() => {
  document.querySelector('.sticker').dataset.full = 2
  const lots = document.querySelector('.sticker-lots')
  if (lots) lots.textContent = Array(4).fill('timing belt NH-140-8-25, lot NH-24-0883').join(', ')
}"""


def boxes(pdf: bytes) -> list[tuple[float, float]]:
    """Return width and height of each page of a PDF, in mm."""
    found = re.findall(rb"/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]", pdf)
    return [(float(width) / MM, float(height) / MM) for width, height in found]


@pytest.fixture(scope="module")
def desk(browser, done_job):
    with joined(browser, DESK, done_job.workshop, "owner", "Bela Weir") as page:
        yield page


def opened(desk, done_job, paper: str):
    desk.goto(f"{done_job.workshop.address}/#/paper/{done_job.job}/{paper}")
    expect(desk.locator("article.paper")).to_be_visible()
    return desk


@pytest.mark.parametrize("paper", SIZES)
def test_a_label_is_one_page_of_its_size_and_nothing_of_it_is_cut(desk, done_job, paper):
    page = opened(desk, done_job, paper)
    for size, wanted in SIZES[paper].items():
        page.get_by_label(size).check()
        (printed,) = boxes(page.pdf(prefer_css_page_size=True))
        assert printed == pytest.approx(wanted, abs=0.5)
        page.emulate_media(media="print")
        assert page.evaluate(CUT) == [0, 0, False], (paper, size)
        page.evaluate(FULL)
        assert page.evaluate(CUT) == [0, 0, False], (paper, size, "with four parts")
        page.emulate_media(media="null")


def test_the_sheet_prints_black_on_white_on_pages_of_its_size_without_the_keys(desk, done_job):
    page = opened(desk, done_job, "sheet")
    assert boxes(page.pdf(prefer_css_page_size=True))[0] == pytest.approx(A4, abs=0.5)
    page.get_by_label("as on a phone").check()
    assert boxes(page.pdf(prefer_css_page_size=True))[0] == pytest.approx((100, 178), abs=0.5)
    page.evaluate("document.documentElement.dataset.theme = 'night'")
    page.emulate_media(media="print")
    expect(page.get_by_role("button", name="Print")).to_be_hidden()
    expect(page.get_by_role("heading", name="The customer's own page")).to_be_hidden()
    ink = "getComputedStyle(document.querySelector('.sheet-part dd')).color"
    assert page.evaluate(ink) == "rgb(0, 0, 0)"
    page.emulate_media(media="null")
    page.evaluate("document.documentElement.dataset.theme = 'indoors'")


def comes_to_say(page, link: str, words: str) -> None:
    """Open a link again and again: what the desk has just written goes out with its next round."""
    deadline = time.monotonic() + PATIENCE_S
    while True:
        page.goto("about:blank")
        page.goto(link)
        page.locator(".customer:not([aria-busy])").wait_for()
        if page.get_by_text(words, exact=True).count():
            return
        assert time.monotonic() < deadline, page.locator("body").inner_text()
        page.wait_for_timeout(200)


def test_the_code_on_the_sheet_opens_the_customers_page_until_it_is_ended(desk, done_job, browser):
    page = opened(desk, done_job, "sheet")
    page.get_by_text("Photos for the customer").click()
    page.locator(".paper-choose input").first.check()
    page.get_by_role("button", name="Make the code").click()
    link = page.locator(".paper-link").inner_text()
    assert re.fullmatch(rf"{done_job.workshop.address}/#/page/[A-Za-z0-9_-]{{43}}", link)
    expect(page.locator(".paper-code svg.code")).to_be_visible()

    context = browser.new_context(**PHONE)
    asked: list[str] = []
    context.on("request", lambda request: asked.append(request.url))
    customer = context.new_page()
    seen = violations(customer)
    comes_to_say(customer, link, "What was done")
    expect(customer.locator(".customer-photo img")).to_be_visible()
    assert (
        customer.evaluate("navigator.serviceWorker.getRegistrations().then((all) => all.length)")
        == 0
    )
    assert not any(link.rpartition("/")[2] in one for one in asked if "/api/" in one)
    with customer.expect_download() as saved:
        customer.get_by_role("button", name="Save the file").click()
    assert verify(io.BytesIO(saved.value.path().read_bytes())).holds
    assert seen == []

    page.get_by_role("button", name="Make its code anew").click()
    expect(page.locator(".paper-link")).not_to_have_text(link)
    anew = page.locator(".paper-link").inner_text()
    comes_to_say(customer, anew, "What was done")
    comes_to_say(customer, link, "This page is not there.")
    page.get_by_role("button", name="End it").click()
    expect(page.get_by_role("button", name="End it")).to_have_count(0)
    comes_to_say(customer, anew, "This page is not there.")
    context.close()
