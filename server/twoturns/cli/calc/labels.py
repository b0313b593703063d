"""Numbers on plates and labels: `vin`, `gtin`, `label`."""

from datetime import date

import click

from twoturns.cli.calc.answer import Answer, calculation, day_of
from twoturns.cli.parts import now
from twoturns.trade import gs1, identity
from twoturns.words import t
from twoturns.words.en.cli.calc import labels as words


@calculation("vin")
@click.argument("number")
def vin(number: str) -> Answer:
    """
    Check a vehicle identification NUMBER: its letters, its length, its check character.

    Example:

    \b
        twoturns calc vin 11111111111111111
    """
    found = identity.check_vin(number)
    answer = Answer(notes=[found.message, found.hint], accepted=found.accepted)
    answer.add("vin", "number", found.vin)
    answer.add("code", "verdict", found.code)
    again = [f"{slip.position}: {slip.read}, perhaps {slip.perhaps}" for slip in found.again]
    answer.add("again", t(words.LOOK_AGAIN), again)
    return answer


@calculation("gtin")
@click.argument("number")
def gtin(number: str) -> Answer:
    """
    Check a trade NUMBER of 8, 12, 13 or 14 digits.

    Example:

    \b
        twoturns calc gtin 6291041500213
    """
    return _label(gs1.check_gtin(number), now().date())


@calculation("label")
@click.argument("text")
@click.option("--today", help="The day an expiry is held against, YYYY-MM-DD.")
def label(text: str, today: str | None) -> Answer:
    """
    Read the TEXT of a code on a box: item, lot, serial, expiry.

    TEXT is a GS1 element string, the separator written as {GS}, or a GS1 Digital Link.

    Example:

    \b
        twoturns calc label '010950600013435210ABC123{GS}21SER-42'
    """
    return _label(gs1.read_label(text.replace("{GS}", gs1.SEPARATOR)), day_of(today))


def _label(found: gs1.Label, today: date) -> Answer:
    answer = Answer(notes=[found.message, *found.doubts], accepted=found.accepted)
    answer.add("code", "verdict", found.code)
    answer.add("gtin", "item (GTIN)", found.gtin)
    answer.add("lot", "lot", found.lot)
    answer.add("serial", "serial", found.serial)
    answer.add("expires", t(words.GOOD_UNTIL), found.expires)
    if found.has_expired(today):
        answer.danger(t(words.EXPIRED, expires=str(found.expires)))
    else:
        answer.notes.append(found.hint)
    return answer
