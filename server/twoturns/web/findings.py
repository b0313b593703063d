"""What was found damaged on the workshop's disk: told by name to owner and auditor."""

from typing import Annotated, get_args

from marshmallow import validate

from twoturns.store.blob_checks import Found
from twoturns.store.scrub import findings as found_in
from twoturns.web.access import reads, sight, store
from twoturns.web.answers import Answer
from twoturns.web.api import Room

findings = Room("findings", "What was found altered or missing on the workshop's disk")

MOST_TOLD = 200
BAD = [found for found in get_args(Found) if found != "whole"]


class FindingRow(Answer):
    """A blob that is not what it should be. `job`, `step`, `name`: where its first entry has it."""

    blob: str
    found: Annotated[str, validate.OneOf(BAD)]
    found_at: str
    what: Annotated[str, "What it is, in words."]
    job: str | None
    step: str | None
    name: str | None


class FindingsAnswer(Answer):
    """What was found, the newest first."""

    findings: Annotated[list[FindingRow], "At most 200."]
    all: Annotated[int, "How many there are."]


@findings.gives("/findings", FindingsAnswer)
@reads("owner", "auditor")
def listed() -> dict[str, object]:
    """List what was found altered, missing, or no image of the kind it is called; newest first."""
    told, count = found_in(store(), MOST_TOLD, sight())
    if (limited := sight()) is not None:
        told = [one for one in told if store().views.has_blob(one.blob, limited)]
        count = len(told)
    return {
        "all": count,
        "findings": [
            {
                "blob": one.blob,
                "found": one.found,
                "found_at": one.found_at,
                "what": one.named.what,
                "job": one.named.job or None,
                "step": one.named.step or None,
                "name": one.named.name or None,
            }
            for one in told
        ],
    }
