"""What the workshop's statements speak against one job, for its page at desk and audit."""

from typing import Annotated

from twoturns.store.settled_notices import can_settle, is_in
from twoturns.store.summaries import Folding
from twoturns.web.access import reads, require_job, store
from twoturns.web.answers import Answer
from twoturns.web.api import Room
from twoturns.web.desk import NoticeRow

notices = Room("notices", "What speaks against a job")


class JobNotice(NoticeRow):
    """A notice on its job's page."""

    can_settle: Annotated[bool, "By a word of the owner's: of a recall each part is replaced."]
    is_settled: bool


class NoticesAnswer(Answer):
    """What speaks against a job, also what its owner has settled."""

    notices: list[JobNotice]


@notices.gives("/jobs/<job:job>/notices", NoticesAnswer)
@reads("owner", "auditor")
def of_job(job: str) -> dict[str, object]:
    """List what the workshop's statements speak against a job, settled or not."""
    require_job(job)
    found, settled = Folding(store()).notices(job)
    return {
        "notices": [
            {
                **one,
                "can_settle": can_settle(one["code"]),
                "is_settled": is_in(settled, one["code"], one["tool"], one["stated"]),
            }
            for one in found
        ]
    }
