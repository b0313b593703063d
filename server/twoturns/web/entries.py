"""Entries go in, records come out: the two halves of a phone's sync."""

import re
from collections import Counter
from typing import Annotated, Any

from marshmallow import fields, validate

from twoturns.ledger import canonical, forms
from twoturns.ledger.standing import Standing
from twoturns.store.events import tell
from twoturns.store.ledger import Receipt
from twoturns.store.pages import Page
from twoturns.store.scrub import wanted
from twoturns.store.sight import AnySight, Desk, Sight
from twoturns.store.times import offset_ms
from twoturns.web.access import (
    now,
    own_sight,
    principal,
    reads,
    require_job,
    sight,
    store,
    writes,
)
from twoturns.web.answers import Answer, MayLack
from twoturns.web.api import Form, Room
from twoturns.web.limits import (
    HELD_VALUES,
    JOBS,
    OWNERS_TEXT,
    OWNERS_VALUES,
    TEXT,
    VALUES,
    Allowance,
    limits,
)
from twoturns.web.many import Texts
from twoturns.web.origin import origin
from twoturns.web.proofs import in_base64, leads_from
from twoturns.web.reads import edition_read
from twoturns.web.seen import is_rewound

entries = Room("entries", "The ledger: sending entries, reading records")

MAX_LINES = 500
MAX_BLOBS = 500
PAGE_RECORDS = 500
# As it stands in canonical JSON; one deeper in a body counts too, to who writes such.
_JOB = re.compile(r'"job":"([0-9a-f-]{36})"')
AT = validate.Regexp(rf"\A{forms.AT}\Z")


class BatchForm(Form):
    """`blobs` are the texts of private values. Either may come before the other."""

    sent_at = fields.String(
        required=True, validate=AT, metadata={"description": "The device's clock as it sends."}
    )
    lines = Texts(required=True, validate=validate.Length(max=MAX_LINES))
    blobs = Texts(load_default=list, validate=validate.Length(max=MAX_BLOBS))


class RecordAnswer(Answer):
    """A record, as it stands in the ledger at its index."""

    index: int
    record: str


class RefusedAnswer(Answer):
    """One line, or one private value, that was not taken. It stays on the phone."""

    line: MayLack[Annotated[int, "Its place in `lines`, from 0."]]
    blob: MayLack[Annotated[int, "Its place in `blobs`, from 0."]]
    id: MayLack[Annotated[str, "The entry's id, if the line could be read."]]
    code: str
    message: str
    hint: str


class ReceiptAnswer(Answer):
    """What was kept: an index for each id, a checkpoint that covers them all, and the proof."""

    checkpoint: str
    indices: dict[str, int]
    stamps: Annotated[
        dict[str, str], "What stands before each line in its record: time and offset."
    ]
    proof: Annotated[list[str], leads_from("the records of `indices` and `kept`")]
    kept: Annotated[
        list[RecordAnswer], "The `blob.kept` records that cover the private values sent."
    ]
    refused: list[RefusedAnswer]
    held: MayLack[
        Annotated[
            dict[str, Standing],
            "Of `indices`, the standing of what is held back: no page tells it. "
            "An older workshop says nothing of it.",
        ]
    ]
    unread: MayLack[
        Annotated[
            list[str],
            "Of `indices`, what is kept and not in force: the workshop's program is "
            "older than the app that wrote it, and cannot act on it. An older workshop says "
            "nothing of it.",
        ]
    ]
    rewound: bool


class SinceForm(Form):
    since = fields.Integer(load_default=0, validate=validate.Range(0, canonical.MAX_INTEGER))
    most = fields.Integer(
        load_default=PAGE_RECORDS,
        validate=validate.Range(1, PAGE_RECORDS),
        metadata={"description": "Records, at most: a poor line carries only few."},
    )


class LogForm(SinceForm):
    held = fields.Integer(
        validate=validate.Range(0, canonical.MAX_INTEGER),
        metadata={
            "description": "Of an owner's or an auditor's device that asks for jobs as they are "
            "looked at: up to where it has been told all that is told unasked. It is then told "
            "the statements but `blob.kept` and, an owner's, open jobs, those its person worked "
            "on lately, and what ended jobs that it holds as open."
        },
    )


class PageAnswer(Answer):
    """
    Records from an index on.

    `standings` has every record of the page that is not `good`, and every earlier entry whose
    standing was changed by a record in the page's span: a gap that was filled, a fork that showed.
    """

    records: list[RecordAnswer]
    next: int
    more: bool
    checkpoint: str
    proof: Annotated[list[str], leads_from("the records of the page")]
    standings: dict[str, Standing]
    rewound: bool
    wanted: MayLack[
        Annotated[
            list[str],
            "Of `/log`: photos and private values that are damaged or missing in "
            "the workshop, of jobs that the device worked on or may see. If it still has one, it "
            "sends it again by itself. An older workshop says nothing of it.",
        ]
    ]


@entries.takes("/entries", BatchForm, ReceiptAnswer)
@writes
def append(form: dict[str, Any]) -> dict[str, object]:
    """
    Append a phone's entries. A repeat of what is held earns the same receipt.

    Everything correctly signed by a key that was ever enrolled here goes in; the rest is listed
    under `refused` and stays on the phone. The phone sends again until it holds a receipt.

    What a revoked device sends is held back until an owner accepts it, and only so much of it is
    taken (`held-full`).
    """
    is_from_owner = principal().role == "owner" and not principal().is_revoked
    _count(form, is_from_owner=is_from_owner)
    received = now()
    receipt = store().ledger.append(
        form["lines"],
        form["blobs"],
        received=received,
        offset_ms=offset_ms(form["sent_at"], received),
        is_from_owner=is_from_owner,
    )
    if receipt.refused:
        codes = Counter(one["code"] for one in receipt.refused)
        tell("lines-refused", device=principal().device, codes=codes, address=origin())
    return {**_told(receipt), "rewound": is_rewound(receipt.checkpoint)}


@entries.gives("/log", PageAnswer, asked=LogForm)
@reads()
def log(form: dict[str, int]) -> dict[str, object]:
    """Return what this device may see of the ledger, from an index on."""
    page = store().pages.page(
        form["since"], sight=_told_unasked(form), limit=form["most"], edition=edition_read()
    )
    # A phone may still have what it took long ago, when it no longer sees the job.
    who = principal()
    wants = wanted(store(), Sight(who.device, since="") if who.role == "mechanic" else sight())
    return {**_shown(page), "wanted": wants}


@entries.gives("/jobs/<job:job>/log", PageAnswer, asked=SinceForm)
@reads()
def job_log(form: dict[str, int], job: str) -> dict[str, object]:
    """Return one job's records, from an index on."""
    require_job(job)
    page = store().pages.page(form["since"], job=job, limit=form["most"], edition=edition_read())
    return _shown(page)


def _told_unasked(form: dict[str, int]) -> AnySight | None:
    who = principal()
    if "held" not in form or who.role == "mechanic":
        return sight()
    return Desk(who.device, own_sight() if who.role == "owner" else None, form["held"])


def _count(form: dict[str, Any], *, is_from_owner: bool) -> None:
    """Refuse a flood. An owner's device may bring all there ever was, after a restore."""
    device = principal().device
    text, values = (OWNERS_TEXT, OWNERS_VALUES) if is_from_owner else (TEXT, VALUES)
    spends: list[tuple[Allowance, float]] = [
        (text, sum(map(len, form["lines"]))),
        (values, len(form["blobs"])),
    ]
    if principal().is_revoked:
        spends.append((HELD_VALUES, len(form["blobs"])))
    if not is_from_owner:
        spends.append((JOBS, _new_jobs(form["lines"])))
    limits().take_all(spends, device)


def _new_jobs(lines: list[str]) -> int:
    """Return of how many jobs lines speak that are not here: any entry begins one."""
    named = set(_JOB.findall("\n".join(lines)))
    return sum(not store().views.has_job(job, None) for job in named)


def _told(receipt: Receipt) -> dict[str, object]:
    return {
        "checkpoint": receipt.checkpoint,
        "indices": receipt.indices,
        "stamps": receipt.stamps,
        "proof": in_base64(receipt.proof),
        "kept": [{"index": index, "record": record} for index, record in receipt.kept],
        "refused": receipt.refused,
        "held": receipt.held,
        "unread": receipt.unread,
    }


def _shown(page: Page) -> dict[str, object]:
    return {
        "records": [{"index": index, "record": record} for index, record in page.records],
        "next": page.next,
        "more": page.more,
        "checkpoint": page.checkpoint,
        "proof": in_base64(page.proof),
        "standings": page.standings,
        "rewound": is_rewound(page.checkpoint),
    }
