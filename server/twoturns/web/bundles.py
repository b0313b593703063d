"""Bundles: what work may go by. Immutable bytes, addressed by their hash."""

import json
from typing import Annotated

from flask import Response

from twoturns.store.bundles import weight_of
from twoturns.web.access import reads, store
from twoturns.web.answers import Answer
from twoturns.web.api import PART, Room
from twoturns.web.problems import Refused
from twoturns.web.sending import whole_blob
from twoturns.words import t
from twoturns.words.en.web import bundles as words

bundles = Room("bundles", "Published procedures")

BUNDLE = {"type": "object", "title": "a bundle (formats.md, section 6)"}
FOR_EVER = "private, max-age=31536000, immutable"


class BundleRow(Answer):
    """A published bundle whose pictures are all here. A withdrawn one says why."""

    bundle: str
    id: str
    name: str
    edition: int
    engine_codes: list[str]
    withdrawn: Annotated[str | None, "Why, where it was."]
    size: Annotated[int, "Bytes."]
    index: int


class BundlesAnswer(Answer):
    """Bundles, the oldest first."""

    bundles: list[BundleRow]


class StepWeight(Answer):
    """A step, and how often the hand comes to the phone for it: touches, holds, characters."""

    number: str
    title: str
    hand: int


class WeightAnswer(Answer):
    """What the straight job asks of the phone; its steps, the heaviest first."""

    touches: int
    holds: int
    photos: int
    characters: int
    minutes: Annotated[int, "Of waiting."]
    steps: list[StepWeight]


@bundles.route("/bundles", methods=["GET"])
@bundles.etag
@bundles.response(200, BundlesAnswer)
@reads()
def listed() -> dict[str, object]:
    """List the bundles, oldest first. With `If-None-Match`, 304 while nothing has changed."""
    rows = store().views.bundles()
    return {"bundles": [{**row, "engine_codes": json.loads(row["engine_codes"])} for row in rows]}


@bundles.route("/bundles/<sha256:sha256>", methods=["GET"])
@bundles.response(200, BUNDLE, content_type="application/json")
@bundles.alt_response(206, **PART, content_type="application/json")
@reads()
def one(sha256: str) -> Response:
    """Return a bundle's bytes, or a part of them. They hash to their address, and never change."""
    if not _is_listed(sha256):
        raise Refused("not-found", t(words.NO_SUCH_BUNDLE))
    response = whole_blob(sha256, "application/json")
    response.headers["Cache-Control"] = FOR_EVER
    return response


@bundles.gives("/bundles/<sha256:sha256>/weight", WeightAnswer)
@reads("owner")
def weight(sha256: str) -> dict[str, object]:
    """Say what the straight job of a bundle asks of the phone. A mirror: nothing hangs on it."""
    found = weight_of(store(), sha256) if _is_listed(sha256) else None
    if found is None:
        raise Refused("not-found", t(words.NO_SUCH_BUNDLE))
    return found


def _is_listed(sha256: str) -> bool:
    return any(row["bundle"] == sha256 for row in store().views.bundles())
