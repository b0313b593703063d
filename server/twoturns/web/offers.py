"""Procedures that wait for an owner, because they take a house rule otherwise."""

from marshmallow import Schema, fields, validate

from twoturns.store.offers import waiting
from twoturns.web.access import reads, store
from twoturns.web.api import Room

offers = Room("offers", "Procedures that wait for an owner")


class CitedAnswer(Schema):
    """A maker's document, and where in it."""

    document = fields.String(required=True)
    edition = fields.String(required=True)
    page = fields.String(required=True)
    date = fields.String(required=True)


class InsteadAnswer(Schema):
    """A maker's word; `never` and `because` are the house rule's own."""

    never = fields.String(required=True)
    because = fields.String(required=True)
    says = fields.String(required=True)
    why = fields.String(required=True)
    source = fields.Nested(CitedAnswer, required=True)


class RuleByWordAnswer(Schema):
    """A rule that holds in the place of a house rule."""

    id = fields.String(required=True)
    kind = fields.String(required=True, validate=validate.OneOf(["stop", "ask"]))
    never = fields.String(required=True)
    because = fields.String(required=True)
    instead = fields.Nested(InsteadAnswer, required=True)


class OfferRow(Schema):
    """A procedure that was handed in, as it would be published, and what it takes otherwise."""

    bundle = fields.String(required=True)
    name = fields.String(required=True)
    edition = fields.Integer(required=True)
    engine_codes = fields.List(fields.String(), required=True)
    rules = fields.List(fields.Nested(RuleByWordAnswer), required=True)


class OffersAnswer(Schema):
    """Procedures that wait."""

    offers = fields.List(fields.Nested(OfferRow), required=True)


@offers.route("/offers", methods=["GET"])
@offers.response(200, OffersAnswer)
@reads("owner")
def listed() -> dict[str, object]:
    """List the procedures that only an owner's `bundle.published` lets anybody work by."""
    return {
        "offers": [
            {
                "bundle": sha256,
                "name": bundle["name"],
                "edition": bundle["edition"],
                "engine_codes": bundle["engine_codes"],
                "rules": [rule for rule in bundle["rules"] if "instead" in rule],
            }
            for sha256, bundle in waiting(store())
        ]
    }
