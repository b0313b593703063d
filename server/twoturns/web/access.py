"""
Who asks, and what it may see.

A device sees what its role opens: the owner and the auditor every job, a mechanic the workshop's
statements, jobs that are open, and closed ones that its person worked on while they were open, for
30 days after the closing or the owner's last word in them. Writing gives no sight. Whatever a
device may not see is *not found*: a refusal that names it would say that it is there.

A revoked device reads nothing from that moment on. What it still sends is taken, marked and held
back: evidence is not thrown away because a phone was stolen later. A device that was shut out is
not even listened to.
"""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import wraps
from typing import Any, ParamSpec, TypeVar, cast

from flask import Response, current_app, g, request
from flask_smorest import Blueprint

from twoturns.ledger import private
from twoturns.store import Sight, Store, as_text, events
from twoturns.store.blob_texts import field_of
from twoturns.store.sight import OWN_JOBS_FOR, AnySight, Scope, is_over, scope_of
from twoturns.web import cookie
from twoturns.web.api import SESSION
from twoturns.web.limits import AT_THE_DOOR, REQUESTS, limits
from twoturns.web.origin import origin
from twoturns.web.problems import Refused, problem
from twoturns.web.workshops import Served, Workshops
from twoturns.words import t
from twoturns.words.en.web import access as words

P = ParamSpec("P")
R = TypeVar("R")

GUARDED = "asks_who"  # on a view that only signed-in devices reach
ALL_ROLES = ("mechanic", "owner", "auditor")
REVOKED = "revoked"  # no role: a device whose access was taken
HEALTH = "health.say"
OWN_NAMES = ("localhost", "127.0.0.1", "[::1]")  # of a server, as it calls itself
STRANGERS_BYTES = 128 * 1024  # an entry line of at most 64 KiB, as JSON


@dataclass(frozen=True)
class Principal:
    """The device behind a request."""

    device: str
    role: str
    person: str
    is_revoked: bool
    scope: Mapping[str, Any] | None


def store() -> Store:
    """Return the workshop that this request is for."""
    return cast(Served, g.served).store


def now() -> datetime:
    """Return the server's time, in UTC."""
    clock: Callable[[], datetime] = current_app.config["CLOCK"]
    return clock()


def principal() -> Principal:
    """
    Return who asks.

    Raises:
        Refused: `not-signed-in`; `too-many-requests`, if this device asks without end.
    """
    who: Principal | None = g.get("principal")
    if who is None:
        who = g.principal = _signed_in()
        limits().take(REQUESTS, who.device)
    return who


def asciis(names: Sequence[str] | None) -> frozenset[str] | None:
    """Return the names of this server as they stand in a Host header; None: any."""
    if names is None:
        return None
    return frozenset(one if ":" in one else one.encode("idna").decode() for one in names)


def require_host() -> None:
    """
    Run before each request, first: find its workshop, by the name that it asks for. An address
    that is not this server's is answered nothing.

    Not Flask's TRUSTED_HOSTS: Werkzeug (3.2, `host_is_trusted`) cuts the names at their first
    colon, so that `[::1]` is none.
    """
    found = re.fullmatch(r"(\[[0-9a-f:.]+\]|[^:\[\]]+)(:[0-9]{1,5})?", request.host)
    host = found[1] if found else None
    events.concern(None)
    try:
        g.served = workshops().at(host)
    except Refused:
        # What starts a server anew, and a proxy in front, ask of the process.
        if request.endpoint != HEALTH or host not in OWN_NAMES:
            raise
    else:
        events.concern(g.served.name)


def workshops() -> Workshops:
    """Return the workshops of this process."""
    return cast(Workshops, current_app.extensions["twoturns"])


def let_in() -> None:
    """
    Run before each request: nobody's body is read before it is clear who sends it, and nobody
    takes all threads with bodies that do not end.
    """
    is_guarded = _is_guarded()
    who = principal().device if is_guarded else origin()
    if not is_guarded:
        request.max_content_length = STRANGERS_BYTES
    if request.is_json:
        with limits().body(who, is_stranger=not is_guarded):
            request.get_data()  # kept for the view, which needs all of it anyway


def charge_strangers(answer: Response) -> Response:
    """
    Run after each request: an attempt to get in that failed is taken off what its address has.

    Only then: guessing has an end, and nobody's guessing keeps out those whose signature holds.
    """
    if (
        "served" in g
        and request.method == "POST"
        and not _is_guarded()
        and 400 <= answer.status_code < 500
    ):
        try:
            limits().take(AT_THE_DOOR, origin())
        except Refused as refused:
            return problem(refused)
    return answer


def reads(*roles: str) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Let in signed-in devices of these roles (none named: all) that are not revoked."""

    def mark(view: Callable[P, R]) -> Callable[P, R]:
        @_described(*(roles or ALL_ROLES))
        @wraps(view)
        def guarded(*args: P.args, **kwargs: P.kwargs) -> R:
            who = principal()
            if who.is_revoked:
                raise Refused("device-revoked", t(words.DEVICE_REVOKED))
            if who.role == "auditor" and is_over(who.scope, as_text(now())):
                raise Refused("access-over", t(words.ACCESS_OVER))
            if who.role not in (roles or ALL_ROLES):
                raise Refused("not-found", t(words.NOT_FOR_DEVICE))
            return view(*args, **kwargs)

        return guarded

    return mark


def writes(view: Callable[P, R]) -> Callable[P, R]:
    """Let in every signed-in device, a revoked one too."""

    @_described(*ALL_ROLES, REVOKED)
    @wraps(view)
    def guarded(*args: P.args, **kwargs: P.kwargs) -> R:
        principal()
        return view(*args, **kwargs)

    return guarded


def _described(*roles: str) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Mark a view that only signed-in devices reach, and have the API's description say so."""

    def mark(view: Callable[P, R]) -> Callable[P, R]:
        described: Callable[P, R] = Blueprint.doc(security=[{SESSION: list(roles)}])(view)
        described.__dict__[GUARDED] = True
        return described

    return mark


def sight() -> AnySight | None:
    """Return what limits the asker's view; None sees every job."""
    who = principal()
    if who.role == "auditor":
        return scope_of(who.scope or {}, who.device)
    return None if who.role == "owner" else own_sight()


def own_sight() -> Sight:
    """Return what the asker sees as a mechanic does."""
    return Sight(principal().device, as_text(now() - OWN_JOBS_FOR))


def scope() -> Scope | None:
    """Return what an auditor's invitation limits it to, if it does."""
    who = principal()
    return (
        scope_of(who.scope, who.device) if who.role == "auditor" and who.scope is not None else None
    )


def sees_field(name: str) -> bool:
    """Say whether the asker may read private values of a field."""
    limited = scope()
    return limited is None or limited.fields is None or name in limited.fields


def require_job(job: str) -> None:
    """Refuse a job that is not there, or that the asker may not see: the same answer."""
    if not store().views.has_job(job, sight()):
        raise Refused("not-found", t(words.NO_SUCH_JOB))


def require_blob(sha256: str) -> None:
    """
    Refuse a blob that is not kept, or that no job the asker sees mentions; and, to all but owners,
    one whose erasure was ordered.
    """
    views = store().views
    is_hidden = principal().role != "owner" and views.is_hidden(sha256)
    if is_hidden or not views.has_blob(sha256, sight()):
        raise Refused("not-found", t(words.NO_SUCH_BLOB))
    if scope() is not None:
        field = field_of(store().blobs.read(sha256, private.MAX_BYTES))
        if field is not None and not sees_field(field):
            raise Refused("not-found", t(words.NO_SUCH_BLOB))


def _is_guarded() -> bool:
    view = current_app.view_functions.get(request.endpoint or "")
    return view is not None and GUARDED in view.__dict__


def _signed_in() -> Principal:
    token = cookie.token()
    session = store().sessions.find(token, now()) if token else None
    if session is None:
        raise Refused("not-signed-in", t(words.NO_SESSION))
    device = store().views.device(session.device)
    if device is None:
        # The ledger was put back to a time before this device came in.
        raise Refused("not-signed-in", t(words.DEVICE_UNKNOWN))
    if device.is_shut:
        raise Refused("device-shut", t(words.DEVICE_SHUT_OUT))
    return Principal(session.device, device.role, device.person, device.is_revoked, device.scope)
