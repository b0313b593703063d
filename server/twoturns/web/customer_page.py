"""
The page that a job's customer opens by the code on the hand-over sheet.

The asker is nobody's device: a secret of 256 bits is all it has. It comes in a header, so that no
address and no log has it, and what it opens is one page and its photos, as small copies.
"""

import re
from functools import partial
from typing import Annotated

from flask import Response, request

from twoturns.bag.naming import name_of
from twoturns.store import as_text
from twoturns.store.customer_pages import (
    CustomerPage,
    CustomerPhoto,
    CustomerRow,
    bag_of,
    customer_page,
)
from twoturns.store.gather import write
from twoturns.web.access import now, store
from twoturns.web.answers import Answer
from twoturns.web.api import BYTES, PAGE, Room
from twoturns.web.bag import sent_whole
from twoturns.web.headers import BLOB_SECURITY_POLICY
from twoturns.web.limits import PAGE_BAGS, PAGES, limits
from twoturns.web.origin import origin
from twoturns.web.problems import Refused
from twoturns.words import t
from twoturns.words.en.web import customer_page as words

customers = Room("customer_page", "The page that a job's customer may open")

PHOTO_WIDTH_PX = 1280
_BEARER = re.compile(r"bearer ([a-z0-9_-]{43})", re.IGNORECASE)  # RFC 9110, 11.1


class CustomerPageAnswer(Answer):
    """What was done, as the customer is told. `foot`: how the id of the entry begins."""

    workshop: str
    said: str
    until: str
    foot: str
    rows: list[CustomerRow]
    photos: list[CustomerPhoto]
    has_bag: Annotated[bool, "The job's evidence bag may be taken along."]


@customers.route("/page", methods=["GET"])
@customers.doc(security=[{PAGE: []}])
@customers.response(200, CustomerPageAnswer)
def read() -> dict[str, object]:
    """Return the page that a secret opens, as long as it stands."""
    page = _opened()
    return {
        "workshop": store().name,
        "said": page.said,
        "until": page.until,
        "foot": page.entry[:12],
        "rows": page.rows,
        "photos": page.photos,
        "has_bag": page.has_bag,
    }


@customers.route("/page/photos/<sha256:sha256>", methods=["GET"])
@customers.doc(security=[{PAGE: []}])
@customers.response(200, BYTES, content_type="image/jpeg")
def photo(sha256: str) -> Response:
    """Return a photo of the page: a JPEG copy without position, time or camera."""
    shown = {one["blob"] for one in _opened().photos}
    if sha256 not in shown or store().views.kept_size(sha256) is None:
        raise Refused("not-found", t(words.NO_SUCH_PHOTO))
    copy = store().thumbnails.copy(sha256, PHOTO_WIDTH_PX)
    if copy is None:
        raise Refused("no-copy", t(words.NO_COPY))
    response = Response(copy, mimetype="image/jpeg")
    response.headers["Content-Security-Policy"] = BLOB_SECURITY_POLICY
    return response


@customers.route("/page/bag", methods=["GET"])
@customers.doc(security=[{PAGE: []}])
@customers.response(200, BYTES, content_type="application/zip")
def evidence() -> Response:
    """
    Return the evidence bag of the page's job: the record with its proofs; of private values and
    photos what the page shows, photos as copies. Not of every page: `has_bag` says so.
    """
    page = _opened()
    if not page.has_bag:
        raise Refused("not-found", t(words.NO_BAG))
    limits().take(PAGE_BAGS, page.entry)
    bag = bag_of(store(), page, f"{now():%Y-%m-%d}")
    return sent_whole(partial(write, store(), bag), f"{name_of(bag)}.zip")


def _opened() -> CustomerPage:
    """Return the page that is asked for; whatever is wrong with the secret, the answer is one."""
    limits().take(PAGES, origin())
    given = _BEARER.fullmatch(request.headers.get("Authorization", ""))
    page = customer_page(store(), given[1], as_text(now())) if given else None
    if page is None:
        raise Refused("no-page", t(words.NO_PAGE))
    return page
