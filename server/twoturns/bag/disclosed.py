"""
What the job's entries name against what the bag shows: each blob is there, or it is said why not.
"""

from collections.abc import Iterator, Mapping

from twoturns.bag import layout
from twoturns.bag.blob_uses import uses_of_blobs
from twoturns.bag.contents import by_blob
from twoturns.bag.evidence import Disclosure, Finding
from twoturns.bag.parse import Parsed
from twoturns.bag.read import AGAIN, Bag
from twoturns.bag.repeats import file_places, paper_places
from twoturns.ledger.entry import Entry
from twoturns.ledger.roster import Roster
from twoturns.words import t
from twoturns.words.en.bag import disclosed as words

_FOLDERS = {
    "disclosed": ("data/blobs/", layout.PHOTOS, layout.SAW, layout.PAPERS),
    "copy": (layout.COPIES,),
}


def disclosure_findings(bag: Bag, parsed: Parsed, roster: Roster) -> Iterator[Finding]:
    """
    Check the blobs' bytes, that all that are named are accounted for, and nothing else is. Of the
    papers that statements name a bag says something where they were asked for.
    """
    named = blobs_named(parsed)
    papers = paper_places(one.entry for _, one in parsed.records if one.entry.job is None)
    of_job = [one.entry for _, one in parsed.records if one.entry.job == parsed.job]
    places = papers | {blob: name for one in of_job for blob, name in file_places(one)}
    files = {name: blob for name in bag.members if (blob := layout.blob_of(name))}
    for name, blob in sorted(files.items()):
        yield from _file_findings(name, blob, bag, parsed.disclosures, places)
    shown = by_blob(files)
    for blob in sorted(named - parsed.disclosures.keys()):
        what = t(words.BLOB_UNEXPLAINED, blob=blob)
        yield Finding("unaccounted-blob", layout.DISCLOSURE, what, AGAIN)
    for blob, said in sorted(parsed.disclosures.items()):
        yield from _said_findings(
            said, blob in named | papers.keys(), shown.get(blob), parsed, roster
        )


def blobs_named(parsed: Parsed) -> set[str]:
    """Return what the job's entries name, and the names of the persons they name."""
    of_job = [one.entry for _, one in parsed.records if one.entry.job == parsed.job]
    persons = {one.person for one in of_job}
    names = [
        one.entry
        for _, one in parsed.records
        if one.entry.kind == "person.named" and one.entry.body["person"] in persons
    ]
    return set(uses_of_blobs([*of_job, *names]))


def _file_findings(
    name: str,
    blob: str,
    bag: Bag,
    disclosures: Mapping[str, Disclosure],
    places: Mapping[str, str],
) -> Iterator[Finding]:
    found = bag.digests.get(name, blob)  # what could not be read has its finding already
    if found != blob and not name.startswith(layout.COPIES):
        what = t(words.BYTES_NOT_SIGNED, found=found)
        yield Finding("blob-changed", name, what, AGAIN)
    said = disclosures.get(blob)
    if said is None or not name.startswith(_FOLDERS.get(said.state, ())):
        state = said.state if said else "nothing"
        what = t(words.BLOB_IS_HERE, state=state)
        yield Finding("undisclosed-file", name, what, AGAIN)
    elif said.state == "disclosed":
        right = places.get(blob, layout.blob_name(blob))
        if name != right:
            yield Finding("misplaced-file", name, t(words.MISPLACED, right=right), AGAIN)


def _said_findings(
    said: Disclosure, is_named: bool, shown: str | None, parsed: Parsed, roster: Roster
) -> Iterator[Finding]:
    if not is_named:
        what = t(words.BLOB_UNNAMED, blob=said.blob)
        yield Finding("unknown-blob", layout.DISCLOSURE, what, AGAIN)
    if said.state in _FOLDERS and shown is None:
        what = t(words.BLOB_MISSING, blob=said.blob, state=said.state)
        yield Finding("missing-blob", layout.DISCLOSURE, what, AGAIN)
    if said.state == "erased" and not any(
        _erases(index, one.entry, said.blob, roster) for index, one in parsed.records
    ):
        what = t(words.ERASURE_UNSIGNED, blob=said.blob)
        yield Finding("erased-unsaid", layout.DISCLOSURE, what, AGAIN)


def _erases(index: int, entry: Entry, blob: str, roster: Roster) -> bool:
    return (
        entry.kind == "blob.erased"
        and entry.body["blob"] == blob
        and roster.has_right(entry, index)
    )
