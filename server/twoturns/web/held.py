"""What is held back of revoked devices, for an owner to look at and to rule on."""

from typing import Annotated

from marshmallow import validate

from twoturns.ledger.bodies_of_workshops import ROLES
from twoturns.web.access import reads, store
from twoturns.web.answers import Answer
from twoturns.web.api import Room
from twoturns.web.entries import RecordAnswer, SinceForm

held = Room("held", "What is held back of revoked devices")


class HeldDevice(Answer):
    """A revoked device, and how much of it nobody has ruled on. Times are those of receipt."""

    device: str
    person: str
    role: Annotated[str, validate.OneOf(ROLES)]
    is_shut: bool
    entries: int
    jobs: int
    bytes: int
    first_received: str
    last_received: str


class HeldAnswer(Answer):
    """Revoked devices, the one heard of last first."""

    devices: list[HeldDevice]


class HeldPage(Answer):
    """Records as they stand in the ledger, from an index on; `next` is where to go on."""

    records: list[RecordAnswer]
    next: int
    more: bool


@held.gives("/held", HeldAnswer)
@reads("owner")
def devices() -> dict[str, object]:
    """List the revoked devices that sent something on which no owner has ruled yet."""
    return {"devices": store().views.held_devices()}


@held.gives("/held/<device:device>", HeldPage, asked=SinceForm)
@reads("owner")
def of_device(form: dict[str, int], device: str) -> dict[str, object]:
    """Return what is held back of a device. A `work.accepted` releases it, to everybody."""
    rows = store().views.held(device, form["since"], form["most"] + 1)
    more, rows = len(rows) > form["most"], rows[: form["most"]]
    following = rows[-1]["index"] + 1 if rows else form["since"]
    records = [{"index": row["index"], "record": row["record"]} for row in rows]
    return {"records": records, "next": following, "more": more}
