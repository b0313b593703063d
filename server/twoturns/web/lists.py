"""
Lists, page by page. A page ends at a *place*, a number and a job, and the next one goes on behind
it: what is added or moves meanwhile shifts nothing, and no page costs more than the first.
"""

from collections.abc import Mapping, Sequence
from typing import Any, Final

from marshmallow import fields, validate

from twoturns.ledger import forms
from twoturns.web.api import Form

PAGE_ROWS: Final = 100
MOST_ROWS: Final = 500
PLACE: Final = validate.Regexp(rf"\A[0-9]{{1,16}}\.{forms.UUID7}\Z")
NEXT: Final = fields.String(
    required=True,
    allow_none=True,
    metadata={"description": "What the next page is asked for with; null: this is the last one."},
)

Place = tuple[int, str]


class PageForm(Form):
    most = fields.Integer(
        load_default=PAGE_ROWS,
        validate=validate.Range(1, MOST_ROWS),
        metadata={"description": "Rows, at most."},
    )


def place_in(form: Mapping[str, Any], start: Place) -> Place:
    """Return behind which place a list goes on."""
    if "after" not in form:
        return start
    number, _, job = form["after"].partition(".")
    return int(number), job


def next_of(places: Sequence[Place], most: int) -> str | None:
    """Return the place at which a page of so many ends, if there is one more."""
    if len(places) <= most:
        return None
    number, job = places[most - 1]
    return f"{number}.{job}"
