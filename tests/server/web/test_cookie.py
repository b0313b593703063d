"""Which cookie a session goes in: one that the browser guards; a plain one on loopback alone."""

import pytest

from twoturns.ledger import keys
from twoturns.web.cookie import COOKIE, LOOPBACK_COOKIE

HERE = {"REMOTE_ADDR": "127.0.0.1"}
PAGE = "http://localhost:8437"


@pytest.fixture
def answered(workshop, open_client):
    """Sign a fresh owner's device in with these headers; returns the answer and the client."""
    phone = workshop.enrol("owner")
    app = open_client().app

    def attempt(base_url, environ=HERE, **headers):
        browser = app.test_client(use_cookies=False)
        said = {name.replace("_", "-"): value for name, value in headers.items()}
        at = {"base_url": base_url, "environ_overrides": environ, "headers": said}
        nonce = browser.post("/api/session/nonce", json={"device": phone.id}, **at).json["nonce"]
        message = keys.session_message(device=phone.id, nonce=nonce, workshop=phone.workshop)
        form = {"device": phone.id, "nonce": nonce, "signature": phone.sign(message)}
        answer = browser.post("/api/session", json=form, **at)
        assert answer.status_code == 200, answer.json
        return answer, browser

    return attempt


@pytest.fixture
def sign_in(answered):
    """As `answered`; returns the answer's cookie, of which there is one, and the client."""

    def attempt(*how, **headers):
        answer, browser = answered(*how, **headers)
        (cookie,) = answer.headers.getlist("Set-Cookie")
        return cookie, browser

    return attempt


def asks(browser, cookie, base_url, environ=HERE, **headers):
    said = {"Cookie": cookie, "Two-Turns-Reads": "2", **headers}
    answer = browser.get("/api/log", base_url=base_url, environ_overrides=environ, headers=said)
    return answer.status_code


@pytest.mark.parametrize("page", [PAGE, "http://127.0.0.1:8437", "http://localhost"])
def test_a_page_on_loopback_http_gets_a_plain_cookie_that_no_script_reads(sign_in, page):
    cookie, browser = sign_in(page, Origin=page)
    assert cookie.startswith(f"{LOOPBACK_COOKIE}=")
    assert "HttpOnly" in cookie
    assert "SameSite=Strict" in cookie
    assert "Secure" not in cookie
    assert asks(browser, cookie.partition(";")[0], page) == 200


def test_a_page_at_a_name_below_localhost_gets_both_and_either_signs_it_in(answered):
    """As the demo's doors have: WebKit takes no Secure cookie there, other browsers guard it."""
    page = "http://mechanic.localhost:8437"
    answer, browser = answered(page, Origin=page)
    cookies = answer.headers.getlist("Set-Cookie")
    assert {one.partition("=")[0] for one in cookies} == {COOKIE, LOOPBACK_COOKIE}
    assert all("HttpOnly" in one and "Domain" not in one for one in cookies)
    brought = [one.partition(";")[0] for one in cookies]
    assert [asks(browser, one, page) for one in brought] == [200, 200]
    said = {"Cookie": "; ".join(brought), "Origin": page}
    left = browser.delete("/api/session", base_url=page, environ_overrides=HERE, headers=said)
    gone = {one.partition("=;")[0] for one in left.headers.getlist("Set-Cookie")}
    assert gone == {COOKIE, LOOPBACK_COOKIE}
    assert [asks(browser, one, page) for one in brought] == [401, 401]


ELSEWHERE = {
    "a name that ends alike": ({}, {"Origin": "http://evillocalhost"}),
    "a name that begins alike": ({}, {"Origin": "http://mechanic.localhost.example"}),
    "a proxy on this machine that ends https": ({}, {"Origin": "https://weir.example"}),
    "a proxy that names itself": ({}, {"Origin": PAGE, "X_Forwarded_For": "203.0.113.9"}),
    "a proxy by RFC 7239": ({}, {"Origin": PAGE, "Forwarded": "for=203.0.113.9;proto=https"}),
    "another machine": ({"REMOTE_ADDR": "203.0.113.9"}, {"Origin": PAGE}),
    "no word of the page": ({}, {}),
    "a page without an origin": ({}, {"Origin": "null"}),
}


@pytest.mark.parametrize("where", ELSEWHERE)
def test_everywhere_else_the_browser_guards_it(sign_in, where):
    environ, headers = ELSEWHERE[where]
    cookie, _ = sign_in(PAGE, {**HERE, **environ}, **headers)
    assert cookie.startswith(f"{COOKIE}=")
    assert "Secure" in cookie


def test_a_plain_cookie_is_not_read_where_it_is_not_given(sign_in):
    """A page on the wire could plant one: it would sign its reader in as somebody else."""
    cookie, browser = sign_in(PAGE, Origin=PAGE)
    brought = cookie.partition(";")[0]
    assert asks(browser, brought, PAGE, {"REMOTE_ADDR": "203.0.113.9"}) == 401
    assert asks(browser, brought, PAGE, **{"X-Forwarded-Proto": "https"}) == 401
    assert asks(browser, brought, PAGE) == 200


def test_signing_out_takes_away_the_cookie_that_is_there(sign_in):
    cookie, browser = sign_in(PAGE, Origin=PAGE)
    brought = cookie.partition(";")[0]
    said = {"Cookie": brought, "Origin": PAGE}
    answer = browser.delete("/api/session", base_url=PAGE, environ_overrides=HERE, headers=said)
    assert answer.headers["Set-Cookie"].startswith(f"{LOOPBACK_COOKIE}=;")
    assert asks(browser, brought, PAGE) == 401
