"""Procedures that wait for an owner, because they take a house rule otherwise."""

from typing import Literal

from twoturns.store.offers import waiting
from twoturns.web.access import reads, store
from twoturns.web.answers import Answer, MayLack
from twoturns.web.api import Room

offers = Room("offers", "Procedures that wait for an owner")


class CitedAnswer(Answer):
    """A maker's document, and where in it."""

    document: str
    edition: str
    page: str
    date: str


class InsteadAnswer(Answer):
    """
    A word in place of a house rule, whose `never` and `because` these are. `holds`: what the
    machine asks for in its place; `gone`: what of the house rule it no longer asks for. `whose`:
    the workshop's; absent: the maker's.
    """

    never: str
    because: str
    holds: list[str]
    gone: list[str]
    says: str
    why: str
    source: CitedAnswer
    whose: MayLack[Literal["workshop"]]


class RuleByWordAnswer(Answer):
    """A rule that holds in the place of a house rule."""

    id: str
    kind: Literal["stop", "ask"]
    never: str
    because: str
    instead: InsteadAnswer


class OfferRow(Answer):
    """A procedure that was handed in, as it would be published, and what it takes otherwise."""

    bundle: str
    id: str
    name: str
    edition: int
    engine_codes: list[str]
    rules: list[RuleByWordAnswer]


class OvertakenRow(Answer):
    """A procedure that was handed in and may no longer be published: `published` came before it."""

    bundle: str
    name: str
    edition: int
    published: int


class OffersAnswer(Answer):
    """Procedures that wait, and those that do no longer."""

    offers: list[OfferRow]
    overtaken: list[OvertakenRow]


@offers.gives("/offers", OffersAnswer)
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
