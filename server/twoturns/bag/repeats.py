"""
What photos and instruments showed, and whether an entry before showed the very same bytes.

No two shots and no two recordings are alike to the bit: one that stands in two entries was taken
once, and the later entry shows something else than it says. That may be a slip; it is told.
"""

from collections.abc import Iterable, Iterator, Mapping

from twoturns.bag import layout
from twoturns.ledger.entry import Entry


def file_places(entry: Entry) -> Iterator[tuple[str, str]]:
    """Yield the blobs that an entry only describes, and where a bag has each."""
    if entry.kind == "photo.taken":
        yield entry.body["blob"], layout.photo_name(entry.body["blob"], entry.body["type"])
    if entry.kind == "reading.taken":
        for each in entry.body.get("saw", ()):
            yield each["blob"], layout.saw_name(each["blob"], each["type"])


def paper_places(entries: Iterable[Entry]) -> dict[str, str]:
    """
    Return the papers that the workshop's statements name, and where a bag has each: certificates of
    tools, permits of persons.
    """
    papers = (one.body["document"] for one in entries if "document" in one.body)
    return {one["blob"]: layout.paper_name(one["blob"], one["type"]) for one in papers}


def shown_before(entries: Iterable[Entry]) -> Mapping[str, Entry]:
    """
    Return, for each entry that shows what an entry before it showed, the first that did.

    Args:
        entries: In the order of the ledger, of whatever job.
    """
    first: dict[str, Entry] = {}
    found: dict[str, Entry] = {}
    for entry in entries:
        for blob, _ in file_places(entry):
            other = first.setdefault(blob, entry)
            if other is not entry:
                found.setdefault(entry.id, other)
    return found
