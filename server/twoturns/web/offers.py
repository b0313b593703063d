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
    """
    A word in place of a house rule, whose `never` and `because` these are. `holds`: what the
    machine asks for in its place; `gone`: what of the house rule it no longer asks for. `whose`:
    the workshop's; absent: the maker's.
    """

    never = fields.String(required=True)
    because = fields.String(required=True)
    holds = fields.List(fields.String(), required=True)
    gone = fields.List(fields.String(), required=True)
    says = fields.String(required=True)
    why = fields.String(required=True)
    source = fields.Nested(CitedAnswer, required=True)
    whose = fields.String(validate=validate.OneOf(["workshop"]))


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
    id = fields.String(required=True)
    name = fields.String(required=True)
    edition = fields.Integer(required=True)
    engine_codes = fields.List(fields.String(), required=True)
    rules = fields.List(fields.Nested(RuleByWordAnswer), required=True)


class OvertakenRow(Schema):
    """A procedure that was handed in and may no longer be published: `published` came before it."""

    bundle = fields.String(required=True)
    name = fields.String(required=True)
    edition = fields.Integer(required=True)
    published = fields.Integer(required=True)


class OffersAnswer(Schema):
    """Procedures that wait, and those that do no longer."""

    offers = fields.List(fields.Nested(OfferRow), required=True)
    overtaken = fields.List(fields.Nested(OvertakenRow), required=True)


@offers.route("/offers", methods=["GET"])
@offers.response(200, OffersAnswer)
@reads("owner")
def listed() -> dict[str, object]:
    """List the procedures that only an owner's `bundle.published` lets anybody work by."""
    waits, overtaken = waiting(store())
    return {
        "offers": [
            {
                "bundle": sha256,
                "id": bundle["id"],
                "name": bundle["name"],
                "edition": bundle["edition"],
                "engine_codes": bundle["engine_codes"],
                "rules": [rule for rule in bundle["rules"] if "instead" in rule],
            }
            for sha256, bundle in waits
        ],
        "overtaken": [
            {
                "bundle": sha256,
                "name": bundle["name"],
                "edition": bundle["edition"],
                "published": published,
            }
            for sha256, bundle, published in overtaken
        ],
    }
