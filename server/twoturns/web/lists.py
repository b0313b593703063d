"""
Lists, page by page. A page ends at a *place*, a number and a job, and the next one goes on behind
it: what is added or moves meanwhile shifts nothing, and no page costs more than the first.
"""

from collections.abc import Callable, Mapping, Sequence
from typing import Annotated, Any, Final, TypeVar

from marshmallow import fields, validate

from twoturns.ledger import forms
from twoturns.web.api import Form

PAGE_ROWS: Final = 100
MOST_ROWS: Final = 500
PLACE: Final = validate.Regexp(rf"\A[0-9]{{1,16}}\.{forms.UUID7}\Z")

Next = Annotated[str | None, "What the next page is asked for with; null: this is the last one."]
Place = tuple[int, str]
R = TypeVar("R")


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


def page_of(
    rows: Sequence[R], most: int, ends_at: Callable[[R], str]
) -> tuple[Sequence[R], str | None]:
    """Return a page out of rows of which one more was asked for, and what the next is asked by."""
    return rows[:most], ends_at(rows[most - 1]) if len(rows) > most else None


def written(place: Place) -> str:
    """Return a place as `place_in` reads it."""
    number, job = place
    return f"{number}.{job}"


def place_of(row: Mapping[str, Any]) -> str:
    """Return the place of a row of `jobs` that are listed by when they were heard of."""
    return written((row["last_index"], row["job"]))
