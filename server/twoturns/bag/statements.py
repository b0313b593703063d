"""
Which statements of a workshop a job leans on: they go with it into its bag.

They are chosen by what they name, not by their kind: whatever says something of an entry, a blob, a
lot, a tool or the procedure of the job goes along, a kind of tomorrow too, wherever in it the name
stands. What leads to the keys, and what is said of devices, is for `store.key_chain`.
"""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from typing import Any, Final

from twoturns.bag.blob_uses import uses_of_blobs
from twoturns.ledger.entry import UNREAD, Entry
from twoturns.ledger.record import Record
from twoturns.trade.spelling import lot_key, tool_key

_AS_COMPARED: Final[dict[str, Callable[[str], str]]] = {"tool": tool_key, "lot": lot_key}


def leaning_on(entries: Iterable[Entry], in_charge: Collection[str]) -> Callable[[Entry], bool]:
    """
    Return what tells whether a workshop statement says something of these entries.

    Args:
        entries: The job's, and the `person.named` of its persons.
        in_charge: The owners' devices and the workshop's keys. What one of these states that only
            a newer program can read may speak of anything; of others it must name something.
    """
    held = list(entries)
    ids, blobs = {one.id for one in held}, uses_of_blobs(held).keys()
    named = {
        "bundle": {one.body["bundle"] for one in held if one.kind == "job.opened"},
        "tool": _named(held, "reading.taken", "tool"),
        "lot": _named(held, "part.fitted", "lot"),
    }
    plain = ids | blobs | named["bundle"] | {one.device for one in held} | {one.job for one in held}

    def is_named(text: str) -> bool:
        return text in plain or lot_key(text) in named["lot"] or tool_key(text) in named["tool"]

    def leans(statement: Entry) -> bool:
        body = statement.body
        if statement.kind == UNREAD:
            is_meant = statement.device in in_charge or statement.id in ids
            return is_meant or any(map(is_named, _texts_in(statement.wire_body)))
        return (
            statement.id in ids
            or not ids.isdisjoint(body.get("entries", ()))
            or any(_key(body, member) in keys for member, keys in named.items())
            or not blobs.isdisjoint(uses_of_blobs([statement]))
        )

    return leans


def permits_of(statements: Mapping[int, Record], persons: Collection[str]) -> dict[int, Record]:
    """Return the permits that were given to persons, and what ended those."""
    given = {
        i: one
        for i, one in statements.items()
        if one.entry.kind == "permit.given" and one.entry.body["person"] in persons
    }
    ids = {one.entry.id for one in given.values()}
    return given | {
        i: one
        for i, one in statements.items()
        if one.entry.kind == "permit.ended" and one.entry.body["permit"] in ids
    }


def erasing(statements: Mapping[int, Record], blobs: Collection[str]) -> dict[int, Record]:
    """Return what says that some blobs were erased."""
    return {
        i: one
        for i, one in statements.items()
        if one.entry.kind == "blob.erased" and one.entry.body["blob"] in blobs
    }


def of_orders(statements: Mapping[int, Record], chosen: Mapping[int, Record]) -> dict[int, Record]:
    """Return what was said of an order that is chosen: that it is withdrawn, or need not wait."""
    ids = {one.entry.id for one in chosen.values()}
    return {i: one for i, one in statements.items() if one.entry.body.get("order") in ids}


def _texts_in(body: object) -> Iterator[str]:
    if isinstance(body, str):
        yield body
    elif isinstance(body, Mapping | list):
        for each in body.values() if isinstance(body, Mapping) else body:
            yield from _texts_in(each)


def ruling_on(statements: Mapping[int, Record], chosen: Mapping[int, Record]) -> dict[int, Record]:
    """Return what rules on an entry that is chosen: an accepted neighbour forks its twin."""
    ids = {one.entry.id for one in chosen.values()}
    named = ((i, one, one.entry.body.get("entries", ())) for i, one in statements.items())
    return {i: one for i, one, entries in named if not ids.isdisjoint(entries)}


def _named(entries: list[Entry], kind: str, member: str) -> set[str | None]:
    return {_key(one.body, member) for one in entries if one.kind == kind and member in one.body}


def _key(body: Mapping[str, Any], member: str) -> str | None:
    value = body.get(member)
    return _AS_COMPARED.get(member, str)(value) if value is not None else None
