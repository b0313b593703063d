"""The session's cookie, in a real browser over http://localhost, where a plain one serves."""

import threading

import pytest
from werkzeug.serving import make_server

from twoturns.ledger import keys
from twoturns.web import create_app
from workshop import Workshop

pytestmark = pytest.mark.browser
POST = """async ([path, body]) => (await fetch(path, {method: 'POST', body: JSON.stringify(body),
    headers: {'Content-Type': 'application/json'}})).json()"""


@pytest.fixture
def served(tmp_path):
    """Serve a workshop on localhost; returns it and its address."""
    workshop = Workshop(tmp_path / "data")
    app = create_app(workshop.folder, clock=lambda: workshop.now, host_names=["localhost"])
    server = make_server("localhost", 0, app)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    yield workshop, f"http://localhost:{server.server_port}"
    server.shutdown()
    thread.join()
    server.server_close()


def test_a_browser_keeps_the_cookie_and_sends_it(browser, served):
    workshop, address = served
    phone = workshop.enrol("owner")
    page = browser.new_page()
    page.goto(f"{address}/api/workshop")
    nonce = page.evaluate(POST, ["/api/session/nonce", {"device": phone.id}])["nonce"]
    message = keys.session_message(device=phone.id, nonce=nonce, workshop=phone.workshop)
    said = {"device": phone.id, "nonce": nonce, "signature": phone.sign(message)}
    assert page.evaluate(POST, ["/api/session", said])["role"] == "owner"
    log = page.evaluate(
        "async () => (await fetch('/api/log', {headers: {'Two-Turns-Reads': '2'}})).json()"
    )
    assert len(log["records"]) == 3
    assert page.evaluate("document.cookie") == ""
    (cookie,) = page.context.cookies()
    assert (cookie["name"], cookie["httpOnly"], cookie["secure"], cookie["sameSite"]) == (
        "two-turns-loopback",
        True,
        False,
        "Strict",
    )
    page.context.close()
