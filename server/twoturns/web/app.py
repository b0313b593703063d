"""The app: the folder of one workshop served, or of many."""

import time
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from flask import Flask
from werkzeug.routing import BaseConverter

from twoturns.ledger import forms
from twoturns.store import Store
from twoturns.store.draft import DRAFT, PICTURE
from twoturns.store.installation import Installation
from twoturns.store.store import FLOOR_BYTES
from twoturns.web import access, api, headers
from twoturns.web.audit import audit
from twoturns.web.bag import bag
from twoturns.web.bags import bags
from twoturns.web.blobs import blobs
from twoturns.web.bundles import bundles
from twoturns.web.client import client
from twoturns.web.customer_page import customers
from twoturns.web.desk import desk
from twoturns.web.draft_checks import draft_checks
from twoturns.web.drafts import drafts
from twoturns.web.entries import entries
from twoturns.web.erasures import erasures
from twoturns.web.find import finding_jobs
from twoturns.web.findings import findings
from twoturns.web.follow_ups import follow_ups
from twoturns.web.health import health
from twoturns.web.held import held
from twoturns.web.limits import BODIES_OF_A_WORKSHOP, Bodies, Limits, Portions
from twoturns.web.notices import notices
from twoturns.web.offers import offers
from twoturns.web.origin import Network
from twoturns.web.photos import photos
from twoturns.web.population import jobs_listed
from twoturns.web.quotes import quotes
from twoturns.web.retention import retention
from twoturns.web.session import session
from twoturns.web.uploads import say_version, uploads
from twoturns.web.workday import workday
from twoturns.web.workshop import workshop
from twoturns.web.workshops import ManyWorkshops, OneWorkshop, Served, Workshops, opener

ROOMS = (
    workshop,
    health,
    session,
    bundles,
    entries,
    uploads,
    blobs,
    desk,
    notices,
    workday,
    held,
    offers,
    drafts,
    draft_checks,
    erasures,
    retention,
    audit,
    finding_jobs,
    bag,
    bags,
    jobs_listed,
    findings,
    quotes,
    follow_ups,
    photos,
    customers,
)


class Sha256(BaseConverter):
    """Nothing else becomes the name of a file."""

    regex = forms.SHA256


class Job(BaseConverter):
    regex = forms.UUID7


class Device(BaseConverter):
    regex = forms.KEY


class DraftName(BaseConverter):
    regex = DRAFT


class PictureName(BaseConverter):
    regex = PICTURE


class App(Flask):
    """The workshop's app: all its views are plain functions."""

    def ensure_sync(self, func: Callable[..., Any]) -> Callable[..., Any]:
        # Flask and flask-smorest ask nine times a request: a twentieth of a small one's time.
        return func


def utc_now() -> datetime:
    return datetime.now(UTC)


def create_app(
    data: Path,
    *,
    clock: Callable[[], datetime] = utc_now,
    ticks: Callable[[], float] = time.monotonic,
    floor_bytes: int = FLOOR_BYTES,
    host_names: list[str] | None = None,
    proxies: Sequence[Network] = (),
) -> Flask:
    """
    Return the app of a workshop's folder, or of an installation's.

    Args:
        data: The folder, made by `twoturns init`.
        clock: The server's time, in UTC.
        ticks: Seconds of a clock that never goes back, for what askers may spend.
        floor_bytes: What stays free on the disk: below it photos wait, entries go on.
        host_names: The names this server answers to; None: any (only behind a proxy that checks).
            Of an installation: those of its workshops that are served; None, or none: all.
        proxies: Whose word on where a request comes from is believed.

    Raises:
        NotAWorkshop: If the folder is none.
    """
    app = App(__name__, static_folder=None)
    app.config.update(CLOCK=clock, PROXIES=tuple(proxies))
    names = access.asciis(host_names)
    app.extensions["twoturns"] = _workshops(
        data,
        names,
        floor_bytes,
        lambda store, bodies: Limits(ticks, bodies, Portions(store.allowances, clock)),
        ticks,
    )
    headers.set_on(app)
    app.after_request(say_version)
    app.after_request(access.charge_strangers)
    app.before_request(access.require_host)
    set_routes_on(app)
    app.before_request(access.let_in)
    app.register_blueprint(client)
    return app


def _workshops(
    data: Path,
    names: frozenset[str] | None,
    floor_bytes: int,
    limits: Callable[[Store, Bodies], Limits],
    ticks: Callable[[], float],
) -> Workshops:
    installation = Installation(data)
    if not installation.is_one:
        store = Store(data, floor_bytes=floor_bytes)
        store.tidy()
        return OneWorkshop(Served(store, limits(store, Bodies())), names)
    bodies = Bodies(BODIES_OF_A_WORKSHOP)
    return ManyWorkshops(
        installation,
        opened=opener(floor_bytes),
        limits=lambda store: limits(store, bodies),
        only=names or frozenset(),
        ticks=ticks,
    )


def description() -> dict[str, object]:
    """Return the API's description (OpenAPI 3.1), without a workshop."""
    app = App(__name__, static_folder=None)
    with app.app_context():
        said: dict[str, Any] = set_routes_on(app).spec.to_dict()
    return said


def set_routes_on(app: Flask) -> api.Interface:
    """Put the API's routes on an app, and return what describes them."""
    app.url_map.converters.update(
        sha256=Sha256, job=Job, device=Device, draft=DraftName, picture=PictureName
    )
    interface = api.configure(app)
    descriptions = (
        (Sha256, forms.SHA256, "SHA-256 in hex"),
        (Job, forms.UUID7, "the id of a job"),
        (Device, forms.KEY, "the thumbprint of a device"),
        (DraftName, DRAFT, "the name of a draft"),
        (PictureName, PICTURE, "the name of a picture"),
    )
    for converter, form, says in descriptions:
        interface.register_converter(converter, _described(form, says))
    for room in ROOMS:
        interface.register_blueprint(room)
    return interface


def _described(form: str, says: str) -> Callable[[Any], dict[str, Any]]:
    schema = {"type": "string", "pattern": f"^{form}$", "description": says}
    return lambda _: schema
