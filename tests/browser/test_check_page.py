"""The page that checks bags, opened from the disk: no server, no line, and it asks for nothing."""

import shutil
from pathlib import Path

import pytest
from playwright.sync_api import expect

from app_size import STATIC
from browser.chromium import DESK
from twoturns.web import create_app
from twoturns.web.client import CHECK, CHECK_POLICY
from workshop import Workshop

pytestmark = pytest.mark.browser

BAG = Path(__file__).parents[1] / "vectors" / "bag.zip"


def test_a_saved_page_judges_bags_without_a_line(browser, tmp_path):
    page_file, damaged = tmp_path / "saved.html", tmp_path / "damaged.zip"
    shutil.copy(STATIC / CHECK, page_file)
    bag = bytearray(BAG.read_bytes())
    bag[bag.index(b'"kind":"step.done"') + 9] ^= 1
    damaged.write_bytes(bag)
    context = browser.new_context(**DESK, offline=True)
    page = context.new_page()
    asked, said = [], []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: said.append(message.text))
    page.goto(page_file.as_uri())
    page.get_by_label("The bag").set_input_files(BAG)
    page.get_by_role("button", name="Check it").click()
    expect(page.get_by_role("heading", name="Whole and unaltered")).to_be_visible()
    expect(page.get_by_text("Any workshop could have signed it")).to_be_visible()
    page.get_by_label("fingerprint").fill("A" * 43)
    page.get_by_role("button", name="Check it").click()
    expect(page.get_by_role("heading", name="1 thing does not hold")).to_be_visible()
    page.get_by_label("The bag").set_input_files(damaged)
    page.get_by_label("fingerprint").fill("")
    page.get_by_role("button", name="Check it").click()
    expect(page.locator(".findings li").first).to_contain_text("data/records.txt")
    context.close()
    assert (asked, said) == ([page_file.as_uri()], [])


def test_the_workshop_gives_it_out_with_a_policy_that_lets_it_load_nothing(tmp_path):
    client = create_app(Workshop(tmp_path / "data").folder).test_client()
    answer = client.get(f"/{CHECK}", buffered=True)
    assert answer.status_code == 200
    assert answer.headers["Content-Security-Policy"] == CHECK_POLICY
    assert "script-src 'sha256-" in answer.text
    assert "default-src 'none'" in answer.text
    assert "preact 11" in answer.text.partition("-->")[0]  # it leaves by itself, licences too
    assert "Permission is hereby granted" in answer.text.partition("-->")[0]
