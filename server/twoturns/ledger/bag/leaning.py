"""
Which statements of a workshop a job leans on: they go with it into its bag.

They are chosen by what they name, not by their kind: whatever says something of an entry, a blob, a
lot, a tool or the procedure of the job goes along, a kind of tomorrow too. What leads to the keys,
and what is said of devices, is for `store.led_to`.
"""

from collections.abc import Callable, Iterable, Mapping
from typing import Any, Final

from twoturns.ledger.bag.uses import uses_of_blobs
from twoturns.ledger.entry import UNREAD, Entry
from twoturns.ledger.record import Record
from twoturns.trade.spelling import lot_key, tool_key

_AS_COMPARED: Final[dict[str, Callable[[str], str]]] = {"tool": tool_key, "lot": lot_key}


def leaning_on(entries: Iterable[Entry]) -> Callable[[Entry], bool]:
    """
    Return what tells whether a workshop statement says something of these entries.

    Args:
        entries: The job's, and the `person.named` of its persons.
    """
    held = list(entries)
    ids, blobs = {one.id for one in held}, uses_of_blobs(held).keys()
    named = {
        "bundle": {one.body["bundle"] for one in held if one.kind == "job.opened"},
        "tool": _named(held, "reading.taken", "tool"),
        "lot": _named(held, "part.fitted", "lot"),
    }

    def leans(statement: Entry) -> bool:
        body = statement.body
        return (
            statement.kind == UNREAD  # it may speak of anything
            or statement.id in ids
            or not ids.isdisjoint(body.get("entries", ()))
            or any(_key(body, member) in keys for member, keys in named.items())
            or not blobs.isdisjoint(uses_of_blobs([statement]))
        )

    return leans


def of_orders(statements: Mapping[int, Record], chosen: Mapping[int, Record]) -> dict[int, Record]:
    """Return what was said of an order that is chosen: that it is withdrawn, or need not wait."""
    ids = {one.entry.id for one in chosen.values()}
    return {i: one for i, one in statements.items() if one.entry.body.get("order") in ids}


def _named(entries: list[Entry], kind: str, member: str) -> set[str | None]:
    return {_key(one.body, member) for one in entries if one.kind == kind and member in one.body}


def _key(body: Mapping[str, Any], member: str) -> str | None:
    value = body.get(member)
    return _AS_COMPARED.get(member, str)(value) if value is not None else None
