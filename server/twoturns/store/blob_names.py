"""
Where the ledger names a blob: so that what is wrong with it can be told by name.

A blob itself says nothing: it is 64 digits. Its entry says of which job and step it is, what it is
called there, and which kind of file it is said to be.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from twoturns.ledger.entry import Entry
from twoturns.store.blob_texts import named_blobs
from twoturns.store.port import Database, Row
from twoturns.store.stored import stored
from twoturns.words import t
from twoturns.words.en.store import blob_names as words


@dataclass(frozen=True)
class Named:
    """
    One entry's word of a blob. `job`, `step` and `name` (of the proof) are empty where the entry
    has none; `type` is what a photo or recording is called there, else empty.
    """

    blob: str
    what: str
    job: str = ""
    step: str = ""
    name: str = ""
    type: str = ""

    def __str__(self) -> str:
        at = t(words.OF_STEP, step=self.step) if self.step else ""
        called = f" {self.name!r}" if self.name else ""
        return f"the {self.what}{called}{at}" + (f", job {self.job}" if self.job else "")


def names_of(entry: Entry) -> Iterator[Named]:
    """Yield what an entry says of each blob that it names."""
    if entry.kind in ("blob.kept", "blob.erased"):
        return  # they speak of the bytes, and not of what they show
    body, job = entry.body, entry.job or ""
    step, name = str(body.get("step", "")), str(body.get("name", ""))
    if entry.kind == "photo.taken":
        yield Named(body["blob"], "photo", job, step, name, body["type"])
        return
    saw = {each["blob"]: each["type"] for each in body.get("saw", ())}
    for blob, media_type in saw.items():
        what = "recording" if media_type.startswith("audio/") else t(words.READING_SHEET)
        yield Named(blob, what, job, step, name, media_type)
    fields = {each["blob"]: key for key, each in body.items() if _is_ref(each)}
    for blob in named_blobs(body):
        if blob == body.get("bundle"):
            yield Named(blob, "procedure")
        elif entry.kind in REGISTER_FILES:
            yield Named(blob, t(words.REGISTER_FILE))
        elif entry.kind == "person.named":
            yield Named(blob, t(words.PERSON_NAME))
        elif blob not in saw:
            yield Named(blob, t(words.PRIVATE_VALUE, field=fields.get(blob, "")).strip(), job, step)


def where_named(database: Database, blob: str) -> Named:
    """Return what the first entry that names a blob says of it."""
    rows = database.rows(_RECORDS, {"blob": blob})
    for row in rows:
        for said in names_of(stored(row["index"], row["record"]).entry):
            if said.blob == blob:
                return said
    if database.row("select 1 from bundle_assets where blob = ?", [blob]) is not None:
        return Named(blob, t(words.PROCEDURE_PICTURE))
    return Named(blob, t(words.NAMED_BY_NONE))


def types_claimed(database: Database, blobs: Iterable[str] | None = None) -> dict[str, set[str]]:
    """Return what photos are called by their entries: all of them, or these."""
    claimed: dict[str, set[str]] = {}
    wanted = None if blobs is None else set(blobs)
    for row in _photo_rows(database, wanted):
        said = stored(row["index"], row["record"]).entry.body
        if wanted is None or said["blob"] in wanted:
            claimed.setdefault(said["blob"], set()).add(said["type"])
    return claimed


def _photo_rows(database: Database, wanted: set[str] | None) -> Iterator[Row]:
    if wanted is None:
        yield from database.rows(_PHOTOS)
    for blob in wanted or ():
        yield from database.rows(_PHOTOS_OF_JOB, [blob])


# What stands on the workshop's registers with a file: certificates, permits, pictures of sets.
REGISTER_FILES: Final = ("tool.calibrated", "permit.given", "set.registered")
_NAMING = ("person.named", "device.named", "bundle.published", *REGISTER_FILES)


def _is_ref(value: object) -> bool:
    return isinstance(value, dict) and value.keys() == {"blob"}


_RECORDS = f"""
select "index", record from entries join records using ("index")
where job in (select job from mentions where blob = :blob
    union select job from held_mentions where blob = :blob)
union all select "index", record from entries join records using ("index")
where job is null and kind in ({",".join(map(repr, _NAMING))})
    and exists (select 1 from mentions where blob = :blob and job = '')
order by "index"
"""  # noqa: S608 - constants only
_PHOTOS = """
select "index", record from entries join records using ("index") where kind = 'photo.taken'
"""
_PHOTOS_OF_JOB = """
select "index", record from entries join records using ("index")
where kind = 'photo.taken' and job in (select job from mentions where blob = ?)
"""
