"""What a draft that was checked would change: in words, against the edition that is published."""

from dataclasses import dataclass

from twoturns.procedure import shape
from twoturns.procedure.compare.editions import compare, kind_words
from twoturns.procedure.compile.bundle import check_bundle
from twoturns.store.at_work import at_work, names_of_persons
from twoturns.store.errors import DraftRefused
from twoturns.store.store import Store
from twoturns.words import t
from twoturns.words.en.store import draft_changes as words


@dataclass(frozen=True)
class DraftChanges:
    """
    What a draft would change.

    Args:
        edition: The draft's.
        against: The newest edition of the same id that is published; None: there is none yet.
        changes: Heading and sentence of each change.
        persons: The names of those who worked by it; of one whose name was erased its id.
        open_jobs: How many jobs go on by the edition that they were opened by.
    """

    edition: int
    against: int | None
    changes: tuple[tuple[str, str], ...]
    persons: tuple[str, ...]
    open_jobs: int


def changes_of(store: Store, name: str) -> DraftChanges:
    """
    Say what the last check's bundle of a draft changes.

    Raises:
        DraftRefused: `not-proved`, if no check has compiled the draft.
    """
    report = store.draft_checks.told(name).report
    if report is None or report["bundle"] is None:
        raise DraftRefused("not-proved", t(words.NOT_COMPILED))
    after = check_bundle(report["bundle"].encode())
    before, work = _published(store, after["id"]), at_work(store, after["id"])
    names = names_of_persons(store)
    found = [] if before is None else compare(before, after)
    return DraftChanges(
        edition=after["edition"],
        against=None if before is None else before["edition"],
        changes=tuple((kind_words(change.kind), change.says) for change in found),
        persons=tuple(names.get(person, person) for person in work.persons),
        open_jobs=len(work.open_jobs),
    )


def _published(store: Store, procedure: str) -> shape.Bundle | None:
    rows = sorted(store.views.editions(procedure), key=lambda row: row["edition"])
    data = store.blobs.read(rows[-1]["bundle"]) if rows else None
    return None if data is None else check_bundle(data)
