"""Drafts are checked, told what they would change, and handed in once they are proved."""

from typing import Annotated

from twoturns.store.draft_changes import changes_of
from twoturns.store.draft_checks import State, Told
from twoturns.store.handing_in import hand_in_checked
from twoturns.web.access import now, reads, store
from twoturns.web.answers import Answer
from twoturns.web.api import Room
from twoturns.web.drafts import MATCH, read_version

draft_checks = Room("draft-checks", "Checking procedures that are being written")


class BlockLineAnswer(Answer):
    """Where something stands in the file of the block that brought it."""

    block: str
    line: int


class FindingAnswer(Answer):
    """A fault of a draft, or a note that is none, as `twoturns procedure check` tells it."""

    code: str
    message: str
    hint: str
    rule: str | None
    line: int | None
    column: int | None
    block: BlockLineAnswer | None
    way: Annotated[list[str], "A shortest way there: `step`, or `step: failure`."]
    sequence: Annotated[list[str], "In words."]


class ReportAnswer(Answer):
    """What a check found. Proved where it has no findings."""

    version: Annotated[str, "Of the draft it is about."]
    findings: list[FindingAnswer]
    notes: list[FindingAnswer]
    states: int
    rules_proven: int
    bundle: Annotated[str | None, "The text of the bundle, where the source compiles."]
    sha256: str | None


class CheckAnswer(Answer):
    """How far a check is. `ended`: stopped, or beyond what it may take, without a report."""

    state: State
    states: int
    report: ReportAnswer | None


class ChangeRow(Answer):
    """A change in words, and the heading under which it stands."""

    heading: str
    says: str


class ChangesAnswer(Answer):
    """What a draft would change against the newest edition that is published, and for whom."""

    edition: int
    against: int | None
    changes: list[ChangeRow]
    persons: Annotated[list[str], "Who worked by it."]
    open_jobs: Annotated[int, "They go on by their own edition."]


class HandedInAnswer(Answer):
    """The bundle that an owner's device may publish now."""

    bundle: str
    is_new: Annotated[bool, "False where it is published already."]


@draft_checks.route("/drafts/<draft:draft>/check", methods=["POST"])
@draft_checks.response(202, CheckAnswer)
@reads("owner")
def check(draft: str) -> dict[str, object]:
    """
    Begin to check a draft, as it is now, in a process of its own. One that still runs is stopped.

    A check ends by itself: after 120 s of a processor, 300 s in all, or with 1 GiB of memory.
    """
    store().draft_checks.begin(draft, store().drafts.data(draft))
    return _told(store().draft_checks.told(draft))


@draft_checks.gives("/drafts/<draft:draft>/check", CheckAnswer)
@reads("owner")
def checked(draft: str) -> dict[str, object]:
    """Say how far the check of a draft is, and what it found."""
    store().drafts.data(draft)
    return _told(store().draft_checks.told(draft))


@draft_checks.route("/drafts/<draft:draft>/check", methods=["DELETE"])
@draft_checks.response(200, CheckAnswer)
@reads("owner")
def stop(draft: str) -> dict[str, object]:
    """Stop the check of a draft."""
    store().drafts.data(draft)
    store().draft_checks.stop(draft)
    return _told(store().draft_checks.told(draft))


@draft_checks.gives("/drafts/<draft:draft>/changes", ChangesAnswer)
@reads("owner")
def changes(draft: str) -> dict[str, object]:
    """Say in words what the last check's draft would change, and whom it concerns."""
    store().drafts.data(draft)
    found = changes_of(store(), draft)
    return {
        "edition": found.edition,
        "against": found.against,
        "changes": [{"heading": heading, "says": says} for heading, says in found.changes],
        "persons": found.persons,
        "open_jobs": found.open_jobs,
    }


@draft_checks.route("/drafts/<draft:draft>/hand-in", methods=["POST"])
@draft_checks.doc(parameters=MATCH[:1])
@draft_checks.response(200, HandedInAnswer)
@reads("owner")
def hand_in(draft: str) -> dict[str, object]:
    """
    Hand in what a check has proved, for an owner's device to publish (`bundle.published`).

    The draft must be the version that was checked.
    """
    bundle, is_new = hand_in_checked(store(), draft, read_version(), now())
    return {"bundle": bundle, "is_new": is_new}


def _told(told: Told) -> dict[str, object]:
    return {"state": told.state, "states": told.states, "report": told.report}
