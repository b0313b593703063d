"""What is ordered erased, for owners: an order shows before it is carried out."""

from typing import Annotated

from twoturns.store import as_text
from twoturns.store.erasures import State, Told
from twoturns.web.access import now, principal, reads, store
from twoturns.web.answers import Answer
from twoturns.web.api import Room

erasures = Room("erasures", "Orders to erase")

MOST_SETTLED = 100  # of those withdrawn or carried out; all that wait are told


class OrderRow(Answer):
    """An order. `left` of its `blobs` are still here and may be erased; a procedure never is."""

    order: str
    at: Annotated[str, "When it was received."]
    person: str
    device: str
    reason: str
    basis: str
    due: Annotated[str, "Carried out from then on."]
    state: State
    is_hastened: bool
    may_hasten: Annotated[bool, "Whether this device may be the second voice."]
    because: Annotated[str | None, "Of the withdrawal."]
    blobs: int
    left: int
    jobs: list[str]


class RuleRow(Answer):
    """How long an order waits, and how many blobs are erased in 24 hours at most."""

    delay_days: int
    blobs_a_day: int


class ComingRow(RuleRow):
    """A rule that was stated and has not begun."""

    rule: str
    begins: str


class ErasuresAnswer(Answer):
    """Orders, the newest first; the rule that holds for them, and those that have not begun."""

    orders: list[OrderRow]
    rule: RuleRow
    coming: list[ComingRow]


@erasures.gives("/erasures", ErasuresAnswer)
@reads("owner")
def listed() -> dict[str, object]:
    """
    List the orders to erase, the newest first, and the rule that holds for them.

    All that wait, and the newest 100 of the others.
    """
    at = as_text(now())
    told = store().erasing.orders()
    settled = [one for one in told if one.state != "waits"][:MOST_SETTLED]
    rule, stated = store().erasing.rules(now())
    is_second = store().erasing.is_second_voice(principal().device, now())
    return {
        "orders": [_row(one, is_second) for one in told if one.state == "waits" or one in settled],
        "rule": {"delay_days": rule.delay_days, "blobs_a_day": rule.blobs_a_day},
        "coming": [
            {
                "rule": name,
                "begins": one.begins,
                "delay_days": one.rule.delay_days,
                "blobs_a_day": one.rule.blobs_a_day,
            }
            for name, one in stated
            if one.begins > at and one.withdrawn is None
        ],
    }


def _row(told: Told, is_second: bool) -> dict[str, object]:
    row = told.row
    is_another = row["person"] != principal().person and row["device"] != principal().device
    return {
        "order": row["id"],
        "at": row["received"],
        **{name: row[name] for name in ("person", "device", "reason", "basis", "due")},
        "state": told.state,
        "is_hastened": told.is_hastened,
        "may_hasten": told.state == "waits" and is_second and is_another,
        "because": told.because,
        "blobs": len(told.blobs),
        "left": len(told.left),
        "jobs": told.jobs,
    }
