"""
What is said of the page that a job's customer may open, one marshmallow schema a kind.

Its words stand in the entry as the customer reads them: what was told is then part of the record.
"""

from typing import Final

from twoturns.words import t
from twoturns.words.en.ledger import bodies_of_pages as texts

from . import fields as f
from .fields import LONG, BodySchema


class SheetRow(BodySchema):
    """A line of a hand-over sheet, under a heading: in clear, or a private value."""

    under = f.text()
    name = f.text(200)
    says = f.text(LONG, optional=True)
    value = f.ref(optional=True)
    any_of = ("says", "value")


class ShownPhoto(BodySchema):
    """A photo of this job that its customer may see."""

    photo = f.entry_id()
    label = f.text(200)


class PageShared(BodySchema):
    """
    Whoever has the secret of which `token` is the SHA-256 may read these rows and photos, until a
    time; and take the job's evidence bag along, with `copies` of those photos.
    """

    token = f.sha256()
    until = f.at()
    rows = f.many(f.nested(SheetRow, t(texts.ROW_MEMBERS)), 200, shortest=1)
    photos = f.many(f.nested(ShownPhoto, t(texts.PHOTO_MEMBERS)), 12, shortest=1, optional=True)
    bag = f.one_of("copies", optional=True)


class PageEnded(BodySchema):
    """A page is not to be read any more."""

    page = f.entry_id()


PAGE_BODIES: Final[dict[str, type[BodySchema]]] = {
    "page.shared": PageShared,
    "page.ended": PageEnded,
}
