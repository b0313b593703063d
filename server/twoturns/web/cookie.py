"""
The session's cookie: which scripts cannot read, and which goes to this host alone.

Its name makes a browser insist on Secure, this host and the whole path (RFC 6265bis, section
4.1.3.2). On `http://localhost` not every browser takes such a cookie (WebKit does not), and the
demo would let nobody in: there, and nowhere else, a plain one serves. A name below `localhost`,
as the demo's doors have, is given both: a browser that does not take the first has the other.
"""

import ipaddress
from datetime import timedelta
from typing import Any, Final
from urllib.parse import urlsplit

from flask import Response, request

COOKIE: Final = "__Host-two-turns"
LOOPBACK_COOKIE: Final = "two-turns-loopback"

_FOR_ALL: Final[dict[str, Any]] = {"path": "/", "httponly": True, "samesite": "Strict"}
_BELOW_LOCALHOST: Final = ".localhost"
_BY_A_PROXY: Final = ("Forwarded", "X-Forwarded-For", "X-Forwarded-Proto", "X-Forwarded-Host")


def token() -> str | None:
    """Return the session's token that the request brings."""
    brought = request.cookies.get(COOKIE)
    if brought is None and _is_on_loopback():
        brought = request.cookies.get(LOOPBACK_COOKIE)
    return brought


def give(answer: Response, token: str, life: timedelta) -> None:
    """
    Have the answer carry the session's token.

    Plain only where the browser itself says that its page came over http from this machine: a
    proxy that ends https hands on the page's own Origin, whatever else it writes anew.
    """
    is_loopback = _is_on_loopback() and _is_loopback_http(request.headers.get("Origin", ""))
    if is_loopback:
        answer.set_cookie(LOOPBACK_COOKIE, token, max_age=life, secure=False, **_FOR_ALL)
    if not is_loopback or _is_below_localhost():
        answer.set_cookie(COOKIE, token, max_age=life, secure=True, **_FOR_ALL)


def take_away(answer: Response) -> None:
    """Have the answer take away each cookie that the browser has."""
    for name, secure in ((COOKIE, True), (LOOPBACK_COOKIE, False)):
        if name in request.cookies:
            answer.delete_cookie(name, secure=secure, **_FOR_ALL)


def _is_on_loopback() -> bool:
    """Say whether the line and the name it asks for are this machine's own, with no proxy told."""
    return (
        _is_loopback(request.remote_addr or "")
        and _is_loopback_http(f"{request.scheme}://{request.host}")
        and not any(name in request.headers for name in _BY_A_PROXY)
    )


def _is_loopback_http(origin: str) -> bool:
    parts = urlsplit(origin)
    name = parts.hostname or ""
    # RFC 6761, section 6.3: names below `localhost` are this machine, too.
    is_localhost = name == "localhost" or name.endswith(_BELOW_LOCALHOST)
    return parts.scheme == "http" and (is_localhost or _is_loopback(name))


def _is_below_localhost() -> bool:
    return (urlsplit(f"//{request.host}").hostname or "").endswith(_BELOW_LOCALHOST)


def _is_loopback(address: str) -> bool:
    try:
        return ipaddress.ip_address(address).is_loopback
    except ValueError:
        return False
