"""A workshop with a scripted job, and bags of it, as tests of the evidence bag need them."""

import io
import json
import os
import zipfile
from collections.abc import Collection, Mapping
from datetime import timedelta
from pathlib import Path
from typing import Any

from PIL import Image

from twoturns.bag import layout
from twoturns.bag.evidence import Evidence
from twoturns.bag.verify import Verdict, verify
from twoturns.bag.write import write_bag
from twoturns.demo.scripted_phone import Photo, ScriptedPhone, Work
from twoturns.ledger import canonical
from twoturns.ledger.keys import SigningKey
from twoturns.store.enrolment import let_in
from twoturns.store.gather import GROUPS, gather
from twoturns.store.succession import rotate
from workshop import Workshop, publish_tiny, uuid7

GPS_IFD, GPS_LATITUDE = 0x8825, 2


def located_photo(step: str, name: str) -> Photo:
    """A photo with a picture in it, and with a position in its EXIF."""
    image = Image.radial_gradient("L").resize((400, 300)).convert("RGB")
    image.paste((len(step) * 9 % 256, len(name) * 13 % 256, 40), (30, 30, 160, 160))
    exif = Image.Exif()
    exif.get_ifd(GPS_IFD)[GPS_LATITUDE] = (52.0, 31.0, 12.5)
    out = io.BytesIO()
    image.save(out, "JPEG", quality=80, exif=exif)
    return Photo(out.getvalue(), 400, 300)


class BagWorkshop(Workshop):
    """A workshop whose phones are scripted."""

    def __init__(self, folder: Path) -> None:
        super().__init__(folder)
        self.bundle = publish_tiny(self.store)

    def phone(self, role: str, name: str) -> ScriptedPhone:
        invitation, secret, person = self.invite(role)
        self.store.name_person(person, name, self.now)
        workshop = self.store.ledger.workshop
        phone = ScriptedPhone(SigningKey.generate(), workshop, person, self.now, os.urandom)
        let_in(self.store, phone.enrol(invitation, secret).line, self.now)
        phone.lines.clear()
        return phone

    def job(self, phone: ScriptedPhone, plate: str = "WEIR 12", job: str | None = None) -> Work:
        work = Work(self.bundle.bundle, job or uuid7(), located_photo, lots={})
        vehicle = {
            "vin": "TT000000000000001",
            "plate": plate,
            "odometer_km": 181_220,
            "engine_code": "QL-19D4",
            "bay": "2",
            "customer": "Ottoline <b>Marsh</b>",
        }
        work.open(phone, self.bundle.sha256, vehicle)
        return work

    def deliver(self, phone: ScriptedPhone, *, photos: bool = True) -> None:
        """Send what the phone holds, an hour after it wrote it."""
        self.now = max(self.now, phone.clock + timedelta(hours=1))
        values = [data.decode() for data in phone.private_values]
        receipt = self.store.ledger.append(phone.lines, values, received=self.now, offset_ms=1200)
        assert receipt.refused == []
        if photos:
            kept = [self.store.blobs.put(data) for data in phone.photos]
            self.store.ledger.keep(kept, self.now)
            phone.photos.clear()
        phone.lines.clear()
        phone.private_values.clear()

    def evidence(
        self, work: Work, *, originals: bool = True, groups: tuple[str, ...] = tuple(GROUPS)
    ) -> Evidence:
        return gather(
            self.store, work.job, groups=groups, originals=originals, made_on="2026-11-24"
        )

    def bag(self, work: Work, **asked: object) -> bytes:
        out = io.BytesIO()
        write_bag(self.evidence(work, **asked), out)
        return out.getvalue()


def stolen(workshop: BagWorkshop) -> tuple[Work, str, int]:
    """
    Have a workshop's key stolen in the middle of a job, which the thief writes for.

    Returns:
        The job, the workshop's fingerprint, and how many records came before the thief.
    """
    mechanic = workshop.phone("mechanic", "Ada Weir")
    work = workshop.job(mechanic)
    work.run(mechanic, until="belt_off")
    workshop.deliver(mechanic)
    fingerprint, trusted = workshop.store.ledger.workshop, workshop.store.ledger.size()
    thief = workshop.phone("owner", "Nobody Known")
    rotate(workshop.store, workshop.now)
    work.write(thief, "note.added", {"text": thief.private("words", "it was like that")})
    workshop.deliver(thief)
    return work, fingerprint, trusted


def unpacked(bag: bytes) -> dict[str, bytes]:
    """Return the files of a bag by their name in it."""
    with zipfile.ZipFile(io.BytesIO(bag)) as archive:
        return {name.partition("/")[2]: archive.read(name) for name in archive.namelist()}


def verdict_of(bag: bytes, **asked: Any) -> Verdict:
    return verify(io.BytesIO(bag), **asked)


def bag_entries(files: Mapping[str, bytes]) -> dict[int, dict[str, Any]]:
    """Return what the entries of a bag say, with their `id`, by index."""
    found = {}
    for line in files[layout.RECORDS].decode().splitlines():
        index, _, _, _, said = line.split(" ", 4)
        found[int(index)] = json.loads(said) | {"id": layout.sha256(said.encode())}
    return found


def without(files: Mapping[str, bytes], gone: Collection[int]) -> dict[str, bytes]:
    """
    Take records out of a bag as somebody does who knows how it is made: their proofs, the blobs
    that nobody names any more, the report, the bag's description and both manifests are mended.
    """
    lines = files[layout.RECORDS].decode().splitlines(keepends=True)
    kept = [line for line in lines if int(line.split(" ")[0]) not in gone]
    proofs = json.loads(files[layout.PROOFS])
    proofs["inclusion"] = [one for one in proofs["inclusion"] if one["index"] not in gone]
    text = "".join(kept)
    job = f'"job":"{layout.info_field(files[layout.BAG_INFO].decode(), "External-Identifier")}"'
    naming = "".join(one for one in kept if job in one or '"kind":"person.named"' in one)
    said = [one for one in json.loads(files[layout.DISCLOSURE]) if one["blob"] in naming]
    others = {name: data for name, data in files.items() if (layout.blob_of(name) or "") in naming}
    return mended(
        {
            **others,
            layout.RECORDS: text.encode(),
            layout.PROOFS: canonical.dumps(proofs),
            layout.DISCLOSURE: canonical.dumps(said),
        }
    )


def mended(files: Mapping[str, bytes]) -> dict[str, bytes]:
    """Make account, report, description and manifests anew, with the tool's own help."""
    verdict = verdict_of(packed(files))
    assert verdict.report is not None, verdict.findings
    assert verdict.account is not None
    assert verdict.told is not None
    changed = {**files, layout.REPORT: verdict.report.encode()}
    if layout.ACCOUNT in files:
        changed[layout.ACCOUNT] = verdict.account.to_json()
    payload = [data for name, data in changed.items() if name.startswith("data/")]
    info = files[layout.BAG_INFO].decode()
    changed[layout.BAG_INFO] = layout.bag_info(
        job=layout.info_field(info, "External-Identifier") or "",
        workshop_name=verdict.told.workshop_name,
        made_on=layout.info_field(info, "Bagging-Date") or "",
        oxum=(sum(map(len, payload)), len(payload)),
        head=verdict.told.head,
    ).encode()
    return unpacked(resealed(changed))


def packed(
    files: Mapping[str, bytes], *, folder: str = "bag", method: int = zipfile.ZIP_STORED
) -> bytes:
    """Zip files as a bag in a folder."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", method) as archive:
        for name, data in files.items():
            archive.writestr(f"{folder}/{name}", data)
    return out.getvalue()


def resealed(files: Mapping[str, bytes]) -> bytes:
    """Zip files as a bag whose manifests fit them: what a forger does who knows BagIt."""
    payload = {n: layout.sha256(data) for n, data in files.items() if n.startswith("data/")}
    sealed = {**files, layout.MANIFEST: layout.manifest(payload).encode()}
    tags = {name: layout.sha256(sealed[name]) for name in layout.TAG_FILES}
    return packed({**sealed, layout.TAG_MANIFEST: layout.manifest(tags).encode()})
