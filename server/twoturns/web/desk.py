"""The owner's desk."""

from datetime import timedelta
from typing import Annotated, Any, Literal

from marshmallow import fields

from twoturns.ledger import canonical
from twoturns.store import as_text
from twoturns.store.desk import desk as lines_of
from twoturns.store.desk_order import FIRST
from twoturns.store.job_lines import lines
from twoturns.web.access import now, reads, store
from twoturns.web.answers import Answer
from twoturns.web.api import Room
from twoturns.web.audit import FoundRow, JobRow, found_row
from twoturns.web.lists import PLACE, Next, PageForm, page_of, place_in, place_of, written
from twoturns.web.seen import is_rewound

desk = Room("desk", "The owner's desk")

State = Literal["enquiry", "declined", "open", "closed", "approved", "changed"]
SETTLED_SHOWN_FOR = timedelta(days=90)


class NoticeRow(Answer):
    """What the workshop stated that speaks against a job, and no owner has settled."""

    code: Annotated[
        str,
        "closed-against-recall, approved-against-recall, lot-recalled, "
        "tool-found-out, bundle-withdrawn, bundle-not-published, tool-retired, "
        "tool-not-calibrated or "
        "shown-before",
    ]
    message: str
    lot: Annotated[str | None, "Of a recall, as it writes it; else null."]
    tool: Annotated[str | None, "The tool that it is of; else null."]
    of: Annotated[str | None, "The recall or check whose vehicles are followed up; else null."]
    until: Annotated[str | None, "The day by which that is to be done; null: none was named."]


class PlannedRow(Answer):
    """What was planned last."""

    person: str | None
    promised: str | None
    twice: Annotated[bool, "Somebody else planned, too, and did not know."]


class ParkedRow(Answer):
    """Why the work rests: `part`, `customer`, or another word."""

    why: str
    part: str | None


class DeskRow(JobRow):
    """A job in a line. `vehicle` is null when the job's procedure is not here to fold it by."""

    bundle: str | None
    vehicle: str | None
    state: Annotated[
        State,
        "enquiry: asked for and not opened; changed: approved, then changed",
    ]
    exceptions: int
    worst: str | None
    codes: Annotated[list[str], "Worst first."]
    questions: Annotated[int, "Not answered yet."]
    done: Annotated[int, "Must-steps not to do."]
    steps: Annotated[int, "Must-steps."]
    entries: int
    notices: list[NoticeRow]
    answered: Annotated[int, "Answers that no owner has read yet."]
    findings: Annotated[int, "Findings that somebody has to ask about or put right."]
    planned: PlannedRow | None
    parked: ParkedRow | None


class DeskForm(PageForm):
    after = fields.String(validate=PLACE, metadata={"description": "The `next` of a page before."})


class DeskAnswer(Answer):
    """`backed_up` of `size` records are covered by a backup."""

    jobs: list[DeskRow]
    next: Next
    size: int
    backed_up: int
    rewound: bool


class JobLine(FoundRow):
    """
    A job as its owner reads it: who worked on it, and how it stands; null while that is made, or
    where it is not known.
    """

    persons: list[str]
    state: State | None
    exceptions: int | None
    questions: int | None
    answered: int | None
    findings: int | None
    planned: PlannedRow | None
    parked: ParkedRow | None
    done: int | None
    steps: int | None


class JobsAnswer(Answer):
    """Jobs, page by page, in the order of whoever lists them."""

    jobs: list[JobLine]
    next: Next


@desk.gives("/desk", DeskAnswer, asked=DeskForm)
@reads("owner")
def look(form: dict[str, Any]) -> dict[str, object]:
    """
    List the jobs, what needs eyes first, page by page.

    First jobs to be followed up by a day; finished or approved against a recall; approved and then
    changed; recalls and other notices; exceptions, the worst first, open questions and findings;
    jobs to approve; open ones. Settled ones are shown for 90 days, for ever those that a recall, a
    withdrawal or a tool that was found out speaks against.
    """
    after, most = place_in(form, FIRST), form["most"]
    lines = lines_of(store(), as_text(now() - SETTLED_SHOWN_FOR), after, most + 1)
    page, following = page_of(lines, most, lambda line: written(line[0]))
    return {
        "jobs": [line for _, line in page],
        "next": following,
        "size": store().ledger.size(),
        "backed_up": store().views.backed_up(as_text(now())),
        "rewound": is_rewound(),
    }


@desk.gives("/jobs", JobsAnswer, asked=DeskForm)
@reads("owner")
def jobs(form: dict[str, Any]) -> dict[str, object]:
    """List all jobs, the one heard of last first, page by page."""
    before, most = place_in(form, (canonical.MAX_INTEGER, "")), form["most"]
    page, following = page_of(store().views.newest_jobs(before, most + 1), most, place_of)
    return {"jobs": [found_row(row) for row in lines(store(), page)], "next": following}
