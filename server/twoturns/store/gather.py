"""
Gathering a job's evidence out of the workshop: what an evidence bag is made of.

A bag must stand alone, so with the job's records go the workshop statements they lean on: the
keys back to the first one, what accepts, recalls, calibrates, keeps or erases something of this
job, and the entry each device wrote before (or under the number of) an entry of the job, which
shows that nothing of that device is missing there.

Private values leave only when asked for, photos as copies without position unless originals are
asked for; what an instrument saw leaves, but a sound (people may be heard) only with the originals.
What another job named first stays behind, whatever is asked for: every device is told the hashes of
all blobs. A photo or recording is shown all the same where a device that might do so says that it
shows this job, for its being shown twice is told. What stays behind is listed with the reason.

What leaves as it is (an original) is read through when the bag is written, as each file must be
hashed there; everything else is read through here.
"""

import io
from collections.abc import Callable, Collection, Iterable, Mapping
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from functools import partial
from typing import BinaryIO, Final

from twoturns.bag import layout, picture
from twoturns.bag.blob_uses import uses_of_blobs
from twoturns.bag.contents import roster_of
from twoturns.bag.evidence import BlobDiffers, Disclosure, Evidence
from twoturns.bag.growth import opened_with_any_key
from twoturns.bag.recompute import MOST_BYTES as MOST_SHEET_BYTES
from twoturns.bag.repeats import file_places, paper_places
from twoturns.bag.statements import erasing, leaning_on, of_orders, permits_of, ruling_on
from twoturns.bag.strip_metadata import Bare, bare
from twoturns.bag.write import write_bag
from twoturns.ledger import canonical, checkpoint, private
from twoturns.ledger.bodies import BODIES, JOB_KINDS
from twoturns.ledger.checkpoint import Checkpoint
from twoturns.ledger.entry import UNREAD, Entry
from twoturns.ledger.errors import LedgerError
from twoturns.ledger.record import Record
from twoturns.ledger.tree import Tree
from twoturns.procedure.compile.bundle import MOST_BYTES, check_bundle
from twoturns.procedure.errors import BundleError, NewerForm
from twoturns.store.blob_names import where_named
from twoturns.store.book import KnownNodes
from twoturns.store.check import checked_proof
from twoturns.store.errors import BlobDamaged, StoreError
from twoturns.store.files import read_at_most
from twoturns.store.key_chain import Records, led_to
from twoturns.store.port import Connection
from twoturns.store.sight import AnySight
from twoturns.store.store import Store
from twoturns.store.stored import stored
from twoturns.trade.media import HEAD_BYTES, media_type
from twoturns.words import t
from twoturns.words.en.store import gather as words

# What an exporter may ask for, and the private values that then leave with the bag.
AT_ONCE: Final = 2  # blobs that are read and hashed: each may take 64 MiB meanwhile
PAPERS: Final = "papers"
GROUPS: Final[dict[str, tuple[str, ...]]] = {
    "vin": ("vin", "plate"),
    "notes": ("name", "customer", "phone", "words", "signature"),
    PAPERS: (),  # certificates of the tools, permits of the persons: no private values
}
Files = dict[str, Callable[[], BinaryIO]]


def gather(
    store: Store,
    job: str,
    *,
    groups: Collection[str],
    originals: bool,
    made_on: str,
    since: str | None = None,
    sight: AnySight | None = None,
    photos: Collection[str] | None = None,
    values: Collection[str] | None = None,
) -> Evidence:
    """
    Return the evidence of a job as the ledger stands now.

    Args:
        store: The workshop.
        job: The job's id.
        groups: Of `GROUPS`, what private values may leave.
        originals: Whether photos leave as they are, with the place they may name.
        made_on: Today, `YYYY-MM-DD`.
        since: A signed checkpoint that the reader kept: the bag then proves what grew from it.
        sight: What limits the asker: no photo leaves that a job outside of it named first.
        photos: The photos that leave, by their hashes; None: all of them.
        values: The private values that may leave, by their hashes; None: all of the groups.

    Raises:
        StoreError: `unknown-job`, `bundle-missing`, `foreign-checkpoint`.
        Damaged: If a record of it is not what it was.
        BlobDamaged: If a blob of the job was altered or is missing on the disk.
    """
    note = store.ledger.checkpoint()
    head = checkpoint.open(note, store.ledger.key, store.ledger.workshop)
    with store.database.read() as db:
        # The checkpoint came first: what has come in since then is not in this bag.
        records = {i: one for i, one in _records(store, db, job, sight).items() if i < head.size}
        tree = Tree(KnownNodes(db), head.size)
        checked_proof(tree, {index: one.text for index, one in records.items()})
        paths = {index: tuple(tree.inclusion(index, head.size)) for index in records}
    of_job = [one.entry for _, one in sorted(records.items()) if one.entry.job == job]
    names = [one.entry for one in records.values() if one.entry.kind == "person.named"]
    named = [*of_job, *names]
    foreign = _foreign(store, job, named, sight)
    kept_back = dict.fromkeys(_unwanted(of_job, named, photos, values), _NOT_ASKED) | foreign
    disclosures, files = _blobs(store, records.values(), named, kept_back, groups, originals)
    if PAPERS in groups:
        disclosures += _papers(store, records.values(), {one.blob for one in disclosures}, files)
    return Evidence(
        job=job,
        workshop=store.ledger.workshop,
        records=tuple(sorted(records.items())),
        paths=paths,
        checkpoint=note,
        head=head,
        bundle=_bundle(store, of_job),
        files=files,
        disclosures=tuple(disclosures),
        made_on=made_on,
        sign=store.ledger.sign,
        since=None if since is None else _since(store, since, records, head.size),
    )


def write(store: Store, evidence: Evidence, out: BinaryIO) -> None:
    """
    Write the bag of what was gathered.

    Raises:
        BlobDamaged: If a blob of the job was altered or is missing on the disk.
        BlobDiffers: If one was altered while it was read. In either case what is out is no zip.
        BagTooLarge: If it would be more than `verify` reads; nor is it a zip then.
    """
    try:
        write_bag(evidence, out)
    except BlobDiffers as error:
        _require_whole(store, error.blob)  # says which entry it is of, and notes the damage
        raise


def _since(
    store: Store, kept: str, records: Records, size: int
) -> tuple[Checkpoint, str, tuple[bytes, ...]]:
    """Return what a reader kept, and what leads from there to the bag's checkpoint."""
    held = opened_with_any_key(kept, roster_of(store.ledger.workshop, sorted(records.items())))
    with store.ledger.reading() as tree:
        if held is not None and held.size <= size and tree.root(held.size) == held.root:
            return held, kept, tuple(tree.consistency(held.size, size))
    raise StoreError(
        t(words.FOREIGN_CHECKPOINT),
        hint=t(words.FOREIGN_CHECKPOINT_HINT),
        code="foreign-checkpoint",
    )


def _bundle(store: Store, of_job: list[Entry]) -> bytes:
    opened = next((one for one in of_job if one.kind == "job.opened"), None)
    if opened is None:
        raise StoreError(
            t(words.NO_SUCH_JOB),
            hint=t(words.NO_SUCH_JOB_HINT),
            code="unknown-job",
        )
    if store.blobs.has(opened.body["bundle"]):
        _require_whole(store, opened.body["bundle"])
    bundle = store.blobs.read(opened.body["bundle"], MOST_BYTES)
    try:
        with suppress(NewerForm):  # it goes into the bag as it is, for those who know its form
            check_bundle(bundle or b"")
    except BundleError as error:
        raise StoreError(
            t(words.PROCEDURE_MISSING, bundle=opened.body["bundle"]),
            hint=t(words.PROCEDURE_MISSING_HINT),
            code="bundle-missing",
        ) from error
    return bundle or b""


# Records.


def _records(store: Store, db: Connection, job: str, sight: AnySight | None) -> Records:
    """Return the job's records and all they lean on, by index."""
    of_job = _read(db, _OF_JOB, [job])
    statements = _read(db, _STATEMENTS, [])
    entries = [one.entry for one in of_job.values()]
    persons = {one.person for one in entries}
    entries += [
        one.entry
        for one in statements.values()
        if one.entry.kind == "person.named" and one.entry.body["person"] in persons
    ]
    in_charge = {str(device) for (device,) in db.execute(_IN_CHARGE).fetchall()}
    leans = leaning_on(entries, in_charge)
    chosen = of_job | _read(db, _BESIDE, {"job": job})
    chosen |= _shown_before(store, db, job, entries, sight)
    chosen |= ruling_on(statements, chosen)
    chosen |= {i: one for i, one in statements.items() if leans(one.entry)}
    chosen |= permits_of(statements, persons)
    chosen |= erasing(statements, paper_places(one.entry for one in chosen.values()))
    chosen |= _kept(db, uses_of_blobs(entries)) | of_orders(statements, chosen)
    return chosen | led_to(statements, {one.entry.device for one in chosen.values()})


def _read(db: Connection, sql: str, parameters: list[str | int] | dict[str, str]) -> Records:
    return {
        int(index): stored(index, text) for index, text in db.execute(sql, parameters).fetchall()
    }


def _kept(db: Connection, blobs: Iterable[str]) -> Records:
    """Return what says that blobs are kept. One record speaks of hundreds: it is read once."""
    found = {row for blob in blobs for (row,) in db.execute(_KEPT_AT, [blob]).fetchall()}
    return {index: one for at in found for index, one in _read(db, _AT, [at]).items()}


def _shown_before(
    store: Store,
    db: Connection,
    job: str,
    entries: list[Entry],
    sight: AnySight | None,
) -> Records:
    """Return, of each photo and recording that another job named first, what named it there."""
    sought: dict[str, set[str]] = {}
    for blob in {blob for one in entries for blob, _ in file_places(one)}:
        for other in store.views.other_jobs(blob, job):
            if store.views.has_job(other, sight):
                sought.setdefault(other, set()).add(blob)
    found: Records = {}
    for other, blobs in sought.items():
        for index, one in sorted(_read(db, _OF_JOB, [other]).items()):
            if not blobs.isdisjoint(blob for blob, _ in file_places(one.entry)):
                found[index] = one
                blobs -= {blob for blob, _ in file_places(one.entry)}
    return found


# Blobs.


def _foreign(
    store: Store, job: str, entries: list[Entry], sight: AnySight | None
) -> dict[str, str]:
    """
    Return what the entries name and the bag must not show, as it is not this job's, and why.

    A photo or recording may be: if an entry that might say so says that it shows this job, and
    the asker sees the job that showed it before.
    """
    views, may_say = store.views, store.views.sayings_that_count(job)
    said = {blob for one in entries if one.id in may_say for blob, _ in file_places(one)}
    return {
        blob: _OF_ANOTHER if views.other_jobs(blob, job) else _OF_NONE
        for blob in uses_of_blobs(entries)
        if not views.is_of_job(blob, job)
        and not (
            blob in said
            and all(views.has_job(other, sight) for other in views.other_jobs(blob, job))
        )
    }


def _unwanted(
    of_job: list[Entry],
    named: list[Entry],
    photos: Collection[str] | None,
    values: Collection[str] | None,
) -> set[str]:
    """Return the photos and private values that may not leave, where it is said which may."""
    unwanted = set() if photos is None else _photos(of_job) - {*photos}
    if values is None:
        return unwanted
    beside = {blob for one in named for blob, _ in file_places(one)}
    return unwanted | (uses_of_blobs(named).keys() - beside - {*values})


def _photos(entries: Iterable[Entry]) -> set[str]:
    return {one.body["blob"] for one in entries if one.kind == "photo.taken"}


def _blobs(
    store: Store,
    records: Iterable[Record],
    entries: list[Entry],
    kept_back: dict[str, str],
    groups: Collection[str],
    originals: bool,
) -> tuple[list[Disclosure], Files]:
    places = {blob: name for one in entries for blob, name in file_places(one)}
    fields = {field for group in groups for field in GROUPS[group]}
    erased = _erased(records)
    files: Files = {}

    def disclosed(blob: str) -> Disclosure:
        if (gone := _gone(store, blob, erased)) is not None:
            return gone
        if blob in kept_back:
            return Disclosure(blob, "withheld", kept_back[blob])
        if blob in places:
            return _file(store, blob, places[blob], originals, files)
        _require_whole(store, blob)
        return _private(store, blob, fields, files)

    with ThreadPoolExecutor(AT_ONCE) as hashing:
        return list(hashing.map(disclosed, uses_of_blobs(entries))), files


def _papers(
    store: Store, records: Iterable[Record], named: Collection[str], files: Files
) -> list[Disclosure]:
    """Return what becomes of the papers that statements name, and put those that leave to files."""
    records = [*records]
    erased = _erased(records)

    def disclosed(blob: str, place: str) -> Disclosure:
        if (gone := _gone(store, blob, erased)) is not None:
            return gone
        _require_whole(store, blob)
        if _field(store, blob) is not None:
            return Disclosure(blob, "withheld", t(words.IS_PRIVATE_VALUE))
        files[place] = partial(_opened, store, blob)
        return Disclosure(blob, "disclosed")

    places = paper_places(one.entry for one in records if one.entry.job is None)
    return [disclosed(blob, place) for blob, place in places.items() if blob not in named]


def _erased(records: Iterable[Record]) -> dict[str, str]:
    return {
        one.entry.body["blob"]: f"{one.entry.body['reason']} ({one.entry.body['basis']})"
        for one in records
        if one.entry.kind == "blob.erased"
    }


def _gone(store: Store, blob: str, erased: Mapping[str, str]) -> Disclosure | None:
    """Return what is said of a blob that is not here to be shown; None: it is."""
    if store.views.is_erased(blob):
        return Disclosure(blob, "erased", erased.get(blob))
    if store.views.is_hidden(blob):
        return Disclosure(blob, "withheld", t(words.ERASURE_ORDERED))
    return Disclosure(blob, "absent") if store.views.kept_at(blob) is None else None


def _require_whole(store: Store, blob: str) -> None:
    """
    Refuse to go on with a blob that the workshop kept and that is not what it was.

    Raises:
        BlobDamaged: By the name of its entry.
    """
    found = store.blobs.check(blob)
    if found in ("altered", "missing"):
        raise BlobDamaged(blob, found, str(where_named(store.database, blob)))


def _file(store: Store, blob: str, place: str, originals: bool, files: Files) -> Disclosure:
    if _field(store, blob) is not None:
        _require_whole(store, blob)
        return Disclosure(blob, "withheld", t(words.IS_PRIVATE_VALUE))
    is_of_kind = place.startswith(layout.SAW) or _is_photo(store, blob)
    if originals and is_of_kind:
        files[place] = partial(_opened, store, blob)  # hashed as it leaves
        return Disclosure(blob, "disclosed")
    if not is_of_kind or place.startswith(layout.SAW):
        _require_whole(store, blob)
    if not is_of_kind:
        return Disclosure(blob, "withheld", t(words.NO_PHOTO))
    if place.startswith(layout.SAW):
        return _saw(store, blob, place, files)
    data = _whole(store, blob)
    stripped = bare(data)
    if stripped is None and picture.copy_at_most(data, picture.COPY_PX) is None:
        return Disclosure(blob, "withheld", t(words.NO_COPY))
    kind = "image/jpeg" if stripped is None else stripped.kind
    files[layout.copy_name(blob, kind)] = partial(_copied, store, blob, stripped)
    return Disclosure(blob, "copy")


def _saw(store: Store, blob: str, place: str, files: Files) -> Disclosure:
    if not place.endswith(".json"):
        return Disclosure(blob, "withheld", t(words.ASK_ORIGINALS, why=t(words.PEOPLE_HEARD)))
    if not _is_sheet(store, blob):
        return Disclosure(blob, "withheld", t(words.ASK_ORIGINALS, why=t(words.NO_SHEET)))
    files[place] = partial(_opened, store, blob)
    return Disclosure(blob, "disclosed")


def _opened(store: Store, blob: str) -> BinaryIO:
    try:
        return store.blobs.open(blob)
    except FileNotFoundError:
        _require_whole(store, blob)  # says which entry it is of, and notes that it is missing
        raise


def _whole(store: Store, blob: str) -> bytes:
    """
    Return a photo's bytes, found whole; of one too large for a copy the start. A copy takes them
    twice: what is the very same file still is not hashed again.
    """
    try:
        with store.blobs.open_whole(blob) as file:
            return read_at_most(file, picture.MAX_BYTES + 1)
    except BlobDamaged:
        _require_whole(store, blob)  # says which entry it is of
        raise


def _copied(store: Store, blob: str, stripped: Bare | None) -> BinaryIO:
    """
    Return a copy without what is beside the pixels, made again: all photos of a job would not fit
    into memory. Where the parts of one stand is known; where not, it is encoded anew.
    """
    data = _whole(store, blob)
    if stripped is not None:
        return io.BytesIO(stripped.of(data))
    made = picture.copy_at_most(data, picture.COPY_PX)
    if made is None:
        raise BlobDamaged(blob, "altered", str(where_named(store.database, blob)))
    return io.BytesIO(made)


def _is_photo(store: Store, blob: str) -> bool:
    with _opened(store, blob) as file:
        return media_type(file.read(HEAD_BYTES)) is not None


def _is_sheet(store: Store, blob: str) -> bool:
    """Whether bytes that are called an instrument's sheet are one, and no photo in disguise."""
    try:
        return isinstance(canonical.loads(store.blobs.read(blob, MOST_SHEET_BYTES) or b""), dict)
    except LedgerError:
        return False


def _private(store: Store, blob: str, fields: set[str], files: Files) -> Disclosure:
    field = _field(store, blob)
    if field is None:
        return Disclosure(blob, "withheld", t(words.NO_PRIVATE_VALUE))
    if field not in fields:
        return Disclosure(blob, "withheld")
    files[layout.blob_name(blob)] = partial(store.blobs.open, blob)
    return Disclosure(blob, "disclosed")


def _field(store: Store, blob: str) -> str | None:
    """Return which field a private value is of; None if the bytes are none."""
    try:
        return private.read(store.blobs.read(blob, private.MAX_BYTES) or b"").field
    except LedgerError:
        return None


_OF_ANOTHER = t(words.OF_ANOTHER_JOB)
_OF_NONE = t(words.OF_NO_ENTRY)
_NOT_ASKED = t(words.NOT_ASKED_FOR)
_OF_JOB = """
select "index", record from entries join records using ("index") where job = ?
"""
# Each number by itself: of two in one condition PostgreSQL would read all entries.
_BESIDE = """
with near as materialized (
    select device, seq from entries where job = :job
    union select device, seq - 1 from entries where job = :job)
select beside."index", record from near
join entries as beside on beside.device = near.device and beside.seq = near.seq
join records on records."index" = beside."index"
where beside.job is null or beside.job != :job
"""
# What a device stated without the right has no effect, and might be as much as it likes. Owners and
# the workshop's keys had it when they stated it; a recovery may have taken it back since, and who
# came in on their word is known by it still.
# By name: an index finds what a kind is, and not what it is not.
_TELLING = sorted(
    {*BODIES, UNREAD} - {*JOB_KINDS, "blob.kept", "backup.made", "backup.outside", "retention.set"}
)
_IN_CHARGE = "select device from devices where role in ('owner', 'console')"
_STATEMENTS = f"""
select "index", record from entries join records using ("index")
where job is null and kind in ({",".join(repr(kind) for kind in _TELLING)})
    and (has_right = 1 or standing = 'good' or kind = 'device.enrolled' or device in ({_IN_CHARGE}))
"""  # noqa: S608 - constants only
_KEPT_AT = 'select "index" from kept where blob = ?'
_AT = 'select "index", record from records where "index" = ?'
