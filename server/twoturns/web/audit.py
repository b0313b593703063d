"""For the auditor and the owner: lots, and the tree's proofs; and how a job is told."""

from collections.abc import Mapping
from operator import itemgetter
from typing import Annotated, Any, Literal

from marshmallow import fields, validate

from twoturns.ledger import canonical
from twoturns.store.desk_order import STAGES, stage_of
from twoturns.store.lots import lots as fitted_lots
from twoturns.store.lots import lots_of
from twoturns.web.access import reads, scope, sees_field, store
from twoturns.web.answers import Answer
from twoturns.web.api import Form, Room
from twoturns.web.limits import REQUESTS, limits
from twoturns.web.lists import Next, PageForm, page_of
from twoturns.web.origin import origin
from twoturns.web.proofs import in_base64
from twoturns.web.seen import is_rewound

audit = Room("audit", "Lots, and proofs over the ledger")

SIZE = validate.Range(0, canonical.MAX_INTEGER)


DialUnit = Annotated[
    Literal["mi"] | None, "What the dial counts, where it counts miles; null: kilometres."
]


class JobRow(Answer):
    """A job's vehicle. What nobody wrote, or this device may not read, is null."""

    job: str
    engine_code: str | None
    bay: str | None
    odometer_km: int | None
    odometer_unit: DialUnit
    vin: str | None
    plate: str | None
    customer: Annotated[
        str | None, "The blob of a private value, as `phone`; null: nobody said it."
    ]
    phone: str | None
    last_received: str


class FoundRow(JobRow):
    """A job that was found. What this device may not read is null."""

    is_closed: bool
    stage: Annotated[
        str, validate.OneOf(STAGES), "enquiry: somebody asked for it, and it is not opened"
    ]


class LotRow(Answer):
    """A lot, as it was written down in the job that was begun last with it; `at` is of there."""

    lot: str
    parts: list[str]
    jobs: int
    at: Annotated[str, "By the clock of the device that fitted it."]


class LotsForm(PageForm):
    after = fields.String(
        load_default="",
        validate=validate.Length(max=canonical.MAX_TEXT),  # a key may be longer than its lot
        metadata={"description": "The `next` of a page before."},
    )


class LotsAnswer(Answer):
    """Lots by name; `recalled`, of a first page, are those that a recall names, too."""

    lots: list[LotRow]
    recalled: list[LotRow]
    next: Next


class CheckpointAnswer(Answer):
    """The signed head of the ledger. `rewound`: it never had the head the device has seen."""

    checkpoint: str
    rewound: bool


class ConsistencyForm(Form):
    """Two sizes of the ledger."""

    old = fields.Integer(required=True, data_key="from", validate=SIZE)
    new = fields.Integer(required=True, data_key="to", validate=SIZE)


class InclusionForm(Form):
    """A record, and the size of the ledger it is in."""

    index = fields.Integer(required=True, validate=SIZE)
    size = fields.Integer(required=True, validate=SIZE)


class ProofAnswer(Answer):
    """The path of a proof (RFC 6962)."""

    path: Annotated[list[str], "In base64."]


VEHICLE = ("vin", "plate")
OF_CUSTOMER = ("customer", "phone")


def found_row(row: Mapping[str, Any]) -> dict[str, Any]:
    """Return a row of `jobs` as it is told: what this device may not read is null."""
    hidden = {name: None for name in (*VEHICLE, *OF_CUSTOMER) if not sees_field(name)}
    blobs = {name: row[f"{name}_blob"] for name in OF_CUSTOMER}
    stage = stage_of(row)
    return {**row, **blobs, **hidden, "is_closed": stage == "closed", "stage": stage}


@audit.gives("/lots", LotsAnswer, asked=LotsForm)
@reads("owner", "auditor")
def lots(form: dict[str, Any]) -> dict[str, object]:
    """List the lots that were fitted, by name, page by page."""
    most, after, database = form["most"], form["after"], store().database
    found = fitted_lots(database, scope(), after=after, most=most + 1)
    recalled = [] if after else list(dict.fromkeys(one["key"] for one in store().views.recalls()))
    lots, following = page_of(found, most, itemgetter("key"))
    return {
        "lots": lots,
        "recalled": lots_of(database, scope(), recalled),
        "next": following,
    }


@audit.gives("/checkpoint", CheckpointAnswer)
@reads()
def head() -> dict[str, object]:
    """Return the signed head of the ledger."""
    checkpoint = store().ledger.checkpoint()
    return {"checkpoint": checkpoint, "rewound": is_rewound(checkpoint)}


@audit.gives("/consistency", ProofAnswer, asked=ConsistencyForm)
def consistency(form: dict[str, int]) -> dict[str, object]:
    """
    Prove that the ledger of one size is the start of that of another (RFC 6962).

    Open to who holds a bag and a checkpoint and has no device here: it is hashes alone.
    """
    limits().take(REQUESTS, origin())  # nobody is signed in who would pay for it
    with store().ledger.reading() as tree:
        return {"path": in_base64(tree.consistency(form["old"], form["new"]))}


@audit.gives("/inclusion", ProofAnswer, asked=InclusionForm)
@reads()
def inclusion(form: dict[str, int]) -> dict[str, object]:
    """Prove that the record at an index is in the ledger of a size (RFC 6962)."""
    with store().ledger.reading() as tree:
        return {"path": in_base64(tree.inclusion(form["index"], form["size"]))}
