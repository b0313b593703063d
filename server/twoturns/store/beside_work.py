"""What was found in a job beside its work and is open, and when it is to be done: of its line."""

from collections.abc import Sequence
from typing import TypedDict

from twoturns.procedure.machine.appointments import appointment
from twoturns.procedure.machine.findings import OPEN, findings, offered
from twoturns.procedure.machine.log import LogEntry
from twoturns.procedure.shape import Step
from twoturns.store.settled_notices import unread_answers


class Planned(TypedDict):
    """Who is to do a job, and when it is promised; `twice`: others planned who did not know."""

    person: str | None
    promised: str | None
    twice: bool


class Parked(TypedDict):
    """Why the work at a job rests, and the part that is missing."""

    why: str
    part: str | None


class Beside(TypedDict):
    """`findings`: how many are open, those among them that the procedure offers to note."""

    findings: int
    planned: Planned | None
    parked: Parked | None
    answered: int  # answers that no owner has read yet


def beside(log: Sequence[LogEntry], steps: Sequence[Step]) -> Beside:
    """Return what stands beside the work of a job, by the steps of its procedure."""
    found = [one for one in findings(log) if one.state in OPEN]
    plan = appointment(log)
    bodies = {one.id: one.body for one in log if one.id in (plan.planned, plan.parked)}
    planned, parked = (bodies.get(one or "") for one in (plan.planned, plan.parked))
    return {
        "findings": len(found) + len(offered(log, steps)),
        "planned": None
        if planned is None
        else {
            "person": planned.get("person"),
            "promised": planned.get("promised"),
            "twice": bool(plan.beside),
        },
        "parked": None if parked is None else {"why": parked["why"], "part": parked.get("part")},
        "answered": unread_answers(log),
    }
