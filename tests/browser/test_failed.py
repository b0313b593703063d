"""What a browser test that fails leaves, and what one that does not fail leaves: nothing."""

import zipfile

import pytest

from browser.failed import kept

pytestmark = [pytest.mark.browser, pytest.mark.slow(2)]


@pytest.fixture
def left(tmp_path, monkeypatch):
    monkeypatch.setattr(kept, "folder", tmp_path / "left")
    return tmp_path / "left"


def test_a_context_that_is_closed_on_the_way_out_leaves_its_pages_and_its_trace(browser, left):
    context = browser.new_context()
    context.new_page().set_content("<h1>As it stood</h1>")

    def fails():
        try:
            raise AssertionError
        finally:
            context.close()

    with pytest.raises(AssertionError):
        fails()
    assert (left / "page-1-1.png").read_bytes().startswith(b"\x89PNG")
    with zipfile.ZipFile(left / "trace-1.zip") as trace:
        assert b"As it stood" in trace.read("trace.trace")


def test_a_context_that_is_closed_in_peace_leaves_nothing(browser, left):
    context = browser.new_context()
    context.new_page()
    context.close()
    assert context not in kept.contexts
    assert not left.exists()


def test_what_the_servers_said_last_is_told(tiny_workshop, left):
    assert tiny_workshop.address in kept.keep_logs()
    assert any(tiny_workshop.address in one.read_text() for one in left.glob("server-*.txt"))
