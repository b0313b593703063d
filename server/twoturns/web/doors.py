"""
Three doors to a workshop that is only tried: one page, and an address of its own for each person.

A browser is one device at an address. So each door leads to a name below `localhost`, which a
browser takes for this machine without asking anybody (RFC 6761, section 6.3) and trusts as it does
`localhost` (W3C Secure Contexts, section 3.1): one browser is mechanic, owner and auditor at once,
with keys, files, a worker and a cookie for each. Where a name is not found, each person can still
come in at `localhost`, in a browser profile apart.

The page stands at 127.0.0.1, where no door leads: at an address where the app was opened its worker
answers every page with the app. Only who has the token is given it, for whoever opens it is
invited as an owner.
"""

import base64
import hashlib
import hmac
import html
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta
from typing import Final

from flask import Blueprint, Flask, Response, make_response, redirect, request
from werkzeug.wrappers import Response as AnyResponse

from twoturns.ledger.roster import invitation_text
from twoturns.store.invite import invite
from twoturns.web.access import now, store
from twoturns.web.problems import Refused
from twoturns.words import t
from twoturns.words.en.web import doors as words

AT: Final = "127.0.0.1"
_SHARED: Final = "localhost"
_LIFE: Final = timedelta(hours=1)

_STYLE: Final = """<style>
:root{--ground:#e6ece7;--ink:#0e1f1b;--act:#0b3a86;--plate:#cdd7d0}
body{margin:0 auto;max-width:66rem;padding:1.5rem;background:var(--ground);color:var(--ink);
font:19px/1.35 "Archivo Variable",Arial,"Liberation Sans",sans-serif}
h1{font-size:2.2rem;line-height:1.1;margin:0 0 .6rem}
h2{font-size:1.4rem;margin:0 0 .3rem}
main>section{border-top:9px solid var(--ink);padding:.8rem 0;margin-top:1.6rem}
ul{display:grid;grid-template-columns:repeat(auto-fit,minmax(16rem,1fr));gap:20px;list-style:none;
padding:0}
ul>li{background:var(--plate);padding:1rem;display:flex;flex-direction:column}
ul>li form{margin-top:auto}
li p:last-child{margin-bottom:0}
button{font:inherit;font-weight:700;min-height:64px;width:100%;padding:.5rem 1rem;border:0;
background:var(--act);color:#fff;cursor:pointer}
button:focus-visible,a:focus-visible{outline:4px solid var(--ink);outline-offset:3px}
a{color:var(--act)}
code{font-size:1.1em;word-spacing:.3em}
ol>li{margin:.5rem 0}
</style>"""


@dataclass(frozen=True)
class Doors:
    """
    Who comes in, and where.

    Args:
        token: What the page's address ends with; whoever has it is let in.
        port: That the workshop is served at.
        people: The person of each role, and their name.
    """

    token: str
    port: int
    people: Mapping[str, tuple[str, str]]

    @property
    def host_names(self) -> list[str]:
        """The names that the server must answer to."""
        return [AT, *(_own(role) for role in self.people)]

    @property
    def address(self) -> str:
        return f"http://{AT}:{self.port}/doors/{self.token}"


def set_on(app: Flask, doors: Doors) -> None:
    """Put the page and its doors on an app."""
    room = Blueprint("doors", __name__)

    @room.get("/doors/<token>")
    def page(token: str) -> Response:
        """Show the doors."""
        _require(doors, token)
        answer = make_response(_page(doors))
        answer.headers["Content-Security-Policy"] = _policy(doors)
        # Without it a browser says of the form that comes from here: from nowhere.
        answer.headers["Referrer-Policy"] = "same-origin"
        answer.cache_control.no_store = True
        return answer

    @room.post("/doors/<token>/<role>/<host>")
    def door(token: str, role: str, host: str) -> AnyResponse:
        """Invite one browser more in a role, and send it to the address where it comes in."""
        _require(doors, token)
        if request.headers.get("Origin") != f"http://{AT}:{doors.port}":
            raise Refused("cross-site", t(words.CROSS_SITE))
        if role not in doors.people or host not in (_own(role), _SHARED):
            raise Refused("not-found", t(words.NO_SUCH_DOOR))
        return redirect(f"http://{host}:{doors.port}/#invite={_invited(doors, role)}", 303)

    app.register_blueprint(room)


def _require(doors: Doors, token: str) -> None:
    """Refuse whoever asks at another name than the page's, or does not know the token."""
    is_here = request.host == f"{AT}:{doors.port}"
    if not (is_here and hmac.compare_digest(token.encode(), doors.token.encode())):
        raise Refused("not-found", t(words.NO_SUCH_DOOR))


def _invited(doors: Doors, role: str) -> str:
    person, _ = doors.people[role]
    moment = now()
    said = invite(store(), role=role, person=person, until=moment + _LIFE, now=moment)
    return invitation_text(said)


def _own(role: str) -> str:
    return f"{role}.{_SHARED}"


def _policy(doors: Doors) -> str:
    """A page of words and forms: no script at all."""
    style = _STYLE.removeprefix("<style>").removesuffix("</style>")
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    targets = [f"http://{host}:{doors.port}" for host in (_SHARED, *map(_own, doors.people))]
    return "; ".join(
        [
            "default-src 'none'",
            f"style-src 'sha256-{digest}'",
            f"form-action 'self' {' '.join(targets)}",
            "base-uri 'none'",
            "frame-ancestors 'none'",
        ]
    )


def _page(doors: Doors) -> str:
    workshop = store().ledger.workshop
    groups = " ".join(workshop[n : n + 4] for n in range(0, len(workshop), 4))
    title = _text(t(words.TITLE, name=store().name))
    parts = [
        f"<h1>{title}</h1>",
        _paragraph(t(words.INVENTED)),
        _paragraph(t(words.COMPARE)),
        f"<p><code>{_text(groups)}</code></p>",
        f"<ul>{''.join(_door(doors, role) for role in doors.people)}</ul>",
        _section(t(words.TOUR), _tour()),
        _section(t(words.NOT_FOUND), _paragraph(t(words.NOT_FOUND_HINT)) + _shared(doors)),
    ]
    head = f'<meta charset="utf-8"><title>{title}</title>{_STYLE}'
    head += '<meta name="viewport" content="width=device-width">'
    return f'<!doctype html><html lang="en"><head>{head}</head><body><main>{"".join(parts)}</main>'


def _door(doors: Doors, role: str) -> str:
    _, name = doors.people[role]
    address = f"http://{_own(role)}:{doors.port}/"
    again = f'<a href="{address}" target="_blank">{_text(t(words.AGAIN))}</a>'
    return (
        f"<li><h2>{_text(t(words.WHO[role], name=name))}</h2>{_paragraph(t(words.DOES[role]))}"
        f"{_key(doors, role, _own(role), t(words.COME_IN[role]))}<p>{again}</p></li>"
    )


def _shared(doors: Doors) -> str:
    keys = [_key(doors, role, _SHARED, t(words.COME_IN[role])) for role in doors.people]
    return f"<ul>{''.join(f'<li>{key}</li>' for key in keys)}</ul>"


def _key(doors: Doors, role: str, host: str, says: str) -> str:
    """A key that opens a tab; the page stays open beside it, for the tour."""
    action = f"/doors/{doors.token}/{role}/{host}"
    return (
        f'<form method="post" action="{action}" target="_blank">'
        f"<button>{_text(says)}</button></form>"
    )


def _tour() -> str:
    return (
        "<ol>" + "".join(f"<li>{_text(t(one))}</li>" for one in words.STATIONS.values()) + "</ol>"
    )


def _section(title: str, inner: str) -> str:
    return f"<section><h2>{_text(title)}</h2>{inner}</section>"


def _paragraph(says: str) -> str:
    return f"<p>{_text(says)}</p>"


def _text(says: str) -> str:
    return html.escape(says)
