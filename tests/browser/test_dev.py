"""The phone as who changes it sees it: from its sources, before a workshop that serves."""

import os
import socket
import subprocess
import time

import pytest
from playwright.sync_api import expect

from browser.app import violations
from browser.chromium import PHONE
from peer import CLIENT, find_node
from ports import free_port

pytestmark = pytest.mark.browser


@pytest.fixture
def sources(tiny_workshop, tmp_path):
    """`npm run dev` before the workshop; gives its address."""
    port = free_port()
    served = {**os.environ, "TWOTURNS_WORKSHOP": f"http://127.0.0.1:{tiny_workshop.port}"}
    vite = CLIENT / "node_modules" / "vite" / "bin" / "vite.js"
    command = [find_node(), str(vite), "--port", str(port)]
    with subprocess.Popen(command, cwd=CLIENT, env=served, stdout=subprocess.DEVNULL) as running:
        try:
            # Not by what it prints, which is coloured where CI is set.
            while not answers(port):
                assert running.poll() is None
                time.sleep(0.05)
            yield f"http://localhost:{port}/"
        finally:
            running.terminate()


def answers(port: int) -> bool:
    try:
        socket.create_connection(("localhost", port), timeout=1).close()
    except OSError:
        return False
    return True


def test_a_phone_from_its_sources_joins_and_hears_of_the_workshop(browser, tiny_workshop, sources):
    phone = browser.new_context(**PHONE)
    page = phone.new_page()
    seen = violations(page)
    page.goto(sources)
    page.get_by_role("textbox").fill(tiny_workshop.invite("mechanic", "Ada Weir"))
    page.get_by_role("button", name="Read the invitation").click()
    with page.expect_response(lambda answer: "/api/log" in answer.url and answer.ok):
        page.get_by_role("button", name="It is the same: join this workshop").click()
    expect(page.get_by_role("button", name="Open a job")).to_be_visible()
    cookies = {one["name"] for one in phone.cookies()}
    phone.close()
    assert "two-turns-loopback" in cookies
    assert seen == []
