"""The app: one workshop's folder, served."""

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
from twoturns.store.store import FLOOR_BYTES
from twoturns.web import access, api, headers
from twoturns.web.audit import audit
from twoturns.web.bag import bag
from twoturns.web.blobs import blobs
from twoturns.web.bundles import bundles
from twoturns.web.client import client
from twoturns.web.desk import desk
from twoturns.web.drafts import drafts
from twoturns.web.entries import entries
from twoturns.web.erasures import erasures
from twoturns.web.findings import findings
from twoturns.web.held import held
from twoturns.web.limits import Limits
from twoturns.web.offers import offers
from twoturns.web.origin import Network
from twoturns.web.session import session
from twoturns.web.uploads import say_version, uploads
from twoturns.web.workshop import workshop

ROOMS = (
    workshop,
    session,
    bundles,
    entries,
    uploads,
    blobs,
    desk,
    held,
    offers,
    drafts,
    erasures,
    audit,
    bag,
    findings,
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
    Return the app of a workshop's data folder.

    Args:
        data: The folder, made by `twoturns init`.
        clock: The server's time, in UTC.
        ticks: Seconds of a clock that never goes back, for what askers may spend.
        floor_bytes: What stays free on the disk: below it photos wait, entries go on.
        host_names: The names this server answers to; None: any (only behind a proxy that checks).
        proxies: Whose word on where a request comes from is believed.

    Raises:
        NotAWorkshop: If the folder is none.
    """
    app = App(__name__, static_folder=None)
    app.config.update(CLOCK=clock, HOST_NAMES=access.asciis(host_names), PROXIES=tuple(proxies))
    store = Store(data, floor_bytes=floor_bytes)
    store.tidy()
    app.extensions["twoturns"] = store
    app.extensions["twoturns-limits"] = Limits(ticks)
    headers.set_on(app)
    app.after_request(say_version)
    app.after_request(access.charge_strangers)
    app.before_request(access.require_host)
    set_routes_on(app)
    app.before_request(access.let_in)
    app.register_blueprint(client)
    return app


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
