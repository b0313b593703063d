"""
What a workshop does to its disk, each as one act that may be broken off anywhere and tried again.

An act tells its claims the moment it may: `entry ID INDEX`, `photo SHA`, `erased SHA`, `offset N`,
`backup SIZE`. Whatever was claimed must be so after any crash.
"""

import base64
import hashlib
import shutil
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

from twoturns.store import Store
from twoturns.store.backup import GENERATIONS, back_up
from twoturns.store.restore import restore
from workshop import NOON, Client, Phone, Workshop, clients, opening, private_value, uuid7

Claim = Callable[[str], None]
PHOTO = b"\xff\xd8 a photo of the belt" * 500
SHA = hashlib.sha256(PHOTO).hexdigest()
OLD_PHOTO = b"\xff\xd8 a photo of the plate"
OLD_SHA = hashlib.sha256(OLD_PHOTO).hexdigest()


class Scene:
    """A workshop at work, that can be put back to how it was as often as needed."""

    def __init__(self, root: Path) -> None:
        self.root, self.folder, self.backup = root, root / "data", root / "backup"
        self.workshop = Workshop(self.folder)
        self.phone, self.owner = self.workshop.enrol("mechanic"), self.workshop.enrol("owner")
        self.job = self.workshop.open_job(self.phone)
        store = self.workshop.store
        store.ledger.keep([store.blobs.put(OLD_PHOTO)], NOON)
        invitation, secret, person = self.workshop.invite("mechanic")
        self.newcomer = Phone(store.ledger.workshop, person, "mechanic")
        self.enrolment = self.workshop.enrolment(self.newcomer, invitation, secret)
        self.values = [private_value("vin", "TT 9"), private_value("plate", "W 9")]
        self.opening = self.phone.write("job.opened", opening(*self.values), uuid7())
        self.taking = self.phone.write("job.taken", {}, self.job)
        said = {"blobs": [OLD_SHA], "reason": "asked", "basis": "law"}
        self.workshop.push(self.owner.write("erasure.ordered", said))
        self.open_client = clients(self.workshop)
        self.client: Client = self.open_client(self.phone)
        for _ in range(GENERATIONS):  # the next one will have to drop one
            back_up(store, self.backup, NOON)
        self.pristine = root.parent / f"{root.name}-as-it-was"
        self.close()
        shutil.copytree(root, self.pristine)

    def close(self) -> None:
        self.store.database.close()
        self.workshop.store.database.close()

    @property
    def store(self) -> Store:
        return self.client.app.extensions["twoturns"].served.store

    def make_ready(self, act: str) -> None:
        """Have all that an act may have changed as it was before it."""
        if act not in ONLY_READ:
            self.put_back(self.folder)
        if act in ON_BACKUP:
            self.put_back(self.backup)

    def files(self) -> dict[Path, bytes]:
        """Return what lies in workshop and backup."""
        files = [path for one in (self.folder, self.backup) for path in one.rglob("*")]
        return {path: path.read_bytes() for path in files if path.is_file()}

    def put_back(self, folder: Path) -> None:
        """Have a folder as it was, and no process that remembers another."""
        self.close()
        shutil.rmtree(folder)
        shutil.copytree(self.pristine / folder.name, folder)
        self.start()

    def start(self) -> None:
        """Start the server on the files as they are."""
        self.close()
        self.client.app.extensions["twoturns"].served.store = Store(self.folder)
        self.close()


def push(scene: Scene, claim: Claim) -> None:
    answer = scene.client.push(scene.opening, scene.taking, blobs=tuple(scene.values))
    for entry_id, index in taken(answer)["indices"].items():
        claim(f"entry {entry_id} {index}")


def upload(scene: Scene, claim: Claim) -> None:
    metadata = f"sha256 {base64.b64encode(SHA.encode()).decode()}"
    length = str(len(PHOTO))
    begun = scene.client.tus("POST", "/api/uploads", Upload_Length=length, Upload_Metadata=metadata)
    taken(begun)
    offset = int(begun.headers["Upload-Offset"])
    while offset < len(PHOTO):
        claim(f"offset {offset}")
        answer = scene.client.tus(
            "PATCH",
            f"/api/uploads/{SHA}",
            PHOTO[offset : offset + 5000],
            Upload_Offset=str(offset),
            Content_Type="application/offset+octet-stream",
        )
        taken(answer)
        offset = int(answer.headers["Upload-Offset"])
    taken(scene.client.get(f"/api/blobs/{SHA}/receipt"))
    claim(f"photo {SHA}")


def enrol(scene: Scene, claim: Claim) -> None:
    answer = taken(scene.open_client().post("/api/enrol", {"line": scene.enrolment.line}))
    claim(f"entry {scene.enrolment.id} {answer['index']}")


def erase(scene: Scene, claim: Claim) -> None:
    scene.store.erasing.carry_out_orders(NOON + timedelta(days=8))
    claim(f"erased {OLD_SHA}")


def save(scene: Scene, claim: Claim) -> None:
    claim(f"backup {back_up(scene.store, scene.backup, NOON).size}")


def rebuild(scene: Scene, claim: Claim) -> None:
    assert scene.store.rebuild() == []


def live_on_from_the_backup(scene: Scene, claim: Claim) -> None:
    """The backup, put back: its first write numbers the workshop's statements anew."""
    folder = scene.root / "put-back"
    shutil.rmtree(folder, ignore_errors=True)  # what was broken off is begun again
    assert restore(scene.backup, folder).missing == ()
    shutil.copy(scene.folder / "workshop.key", folder)
    Store(folder).ledger.state("retention.set", {"days": 400}, NOON)


ACTS: dict[str, Callable[[Scene, Claim], None]] = {
    "push": push,
    "upload": upload,
    "enrol": enrol,
    "erase": erase,
    "backup": save,
    "rebuild": rebuild,
    "restore": live_on_from_the_backup,
}

ON_BACKUP = ("backup",)
# It writes into a folder of its own: workshop and backup it may not touch, whatever happens.
ONLY_READ = ("restore",)


class NotTaken(Exception):
    """The server refused, and said so in its one shape."""


def taken(answer):
    """Return the JSON of an answer, if it has one. Raises NotTaken for a refusal."""
    if answer.status_code >= 400:
        said = answer.json
        assert said.keys() >= {"code", "message", "hint"}, said
        raise NotTaken(f"{answer.status_code} {said['code']}")
    return answer.json if answer.is_json else None
