"""Which blobs entries name, and in what part of which kind of entry."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from twoturns.ledger.entry import Entry
from twoturns.ledger.forms import SHA256, is_formed


def uses_of_blobs(entries: Iterable[Entry]) -> dict[str, list[str]]:
    """Return every blob that entries name, and in what part of which kind of entry."""
    uses: dict[str, dict[str, None]] = {}
    for one in entries:
        for where, blob in _blobs_in(one.wire_body):
            uses.setdefault(blob, {})[f"{one.wire_kind} {where}"] = None
    return {blob: [*said] for blob, said in uses.items()}


def _blobs_in(body: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    for name, value in body.items():
        if name == "blob" and is_formed(value, SHA256):
            yield name, value
        elif isinstance(value, Mapping) and value.keys() == {"blob"}:
            yield from ((name, blob) for _, blob in _blobs_in(value))
        elif isinstance(value, list):
            for each in (one for one in value if isinstance(one, Mapping)):
                yield from _blobs_in(each)
