"""Whether this server can work: for what starts it anew, and for a proxy in front."""

import sqlite3
from http import HTTPStatus
from typing import Annotated

from flask import Response, g, jsonify

from twoturns import __version__
from twoturns.store.errors import StoreError
from twoturns.web.access import store, workshops
from twoturns.web.answers import Answer
from twoturns.web.api import Room

health = Room("health", "Whether the server can work")


class HealthAnswer(Answer):
    """`is_well` with 200; without it 503. It says nothing of a workshop."""

    is_well: bool
    takes_photos: Annotated[
        bool, "False at the disk's floor, or while the store of the photos is away: entries go on."
    ]
    version: str


@health.gives("/health", HealthAnswer)
def say() -> Response:
    """
    Say whether the ledger can be read and the disk takes photos. Anyone may ask, any time.

    Of a server of many workshops each has its own at its host name; at `localhost` the process says
    whether it has any, and opens none.
    """
    is_of_one = "served" in g
    takes_photos = not is_of_one or store().uploads.takes_photos()
    is_well = _can_read() if is_of_one else bool(workshops().names)
    said = jsonify(is_well=is_well, takes_photos=takes_photos, version=__version__)
    said.status_code = HTTPStatus.OK if is_well else HTTPStatus.SERVICE_UNAVAILABLE
    said.headers["Cache-Control"] = "no-store"
    return said


def _can_read() -> bool:
    try:
        return store().ledger.size() > 0
    except (StoreError, sqlite3.Error):
        return False
