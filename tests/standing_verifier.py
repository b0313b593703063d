"""
What the entries of a bag are worth, from formats.md, sections 4 and 8, alone: nothing of the
project is in it. What a recovery by the paper undid is not judged: such a bag is not for it.
"""

import json
import zipfile
from collections import Counter
from hashlib import sha256

CONSOLES = {"workshop.keyed", "blob.kept", "backup.made", "rules.began", "recovery.committed"}
OF_JOBS = {"job", "tool.out", "tool.in", "tool.lost", "part", "step", "condition", "reading"}
OF_JOBS |= {"photo", "note", "review", "recall", "finding", "extra", "notice"}
OWNERS = {"review.returned", "review.gap", "review.approved", "recall.borne", "recall.followed"}
OWNERS |= {"notice.settled"}
RANK = ("auditor", "mechanic", "owner")


def records_of(file):
    """Return the entries of a bag by their index, with their `id`, and its account."""
    bag = zipfile.ZipFile(file)
    files = {name.partition("/")[2]: bag.read(name) for name in bag.namelist()}
    found = {}
    for line in files["data/records.txt"].decode().removesuffix("\n").split("\n"):
        index, text = line.split(" ")[0], line.split(" ", 4)[4]
        found[int(index)] = json.loads(text) | {"id": sha256(text.encode()).hexdigest()}
    return found, json.loads(files["data/account.json"])


class Rights:
    """Who may write what, as far as the ledger has been read."""

    def __init__(self):
        self.edition, self.roles, self.persons, self.serves = 0, {}, {}, {}
        self.invited, self.revoked, self.ranks = {}, {}, {}

    def may(self, said):
        kind, device, person = said["kind"], said["device"], said["person"]
        role = self.roles.get(device)
        is_of_job = kind in OF_JOBS or kind.partition(".")[0] in OF_JOBS
        mine = {self.persons.get(device)} | {
            one for one in self.serves.get(device, ()) if self.ranks.get(one, 0) <= self.rank(role)
        }
        return (
            role is not None
            and device not in self.revoked
            and (person == "console") == (role == "console")
            and (role == "console" or self.edition < 2 or person in mine)
            and (kind == "device.enrolled" or self.is_of(role, kind, is_of_job))
        )

    def is_of(self, role, kind, is_of_job):
        if role == "owner":
            erases = self.edition > 1 and kind == "blob.erased"
            return kind not in CONSOLES and not erases
        if role == "mechanic":
            return is_of_job and not kind.startswith("tool.r") and kind not in OWNERS
        return kind == "note.added" if role == "auditor" else not is_of_job

    def rank(self, role):
        return RANK.index(role) if role in RANK else -1

    def take(self, index, said):
        kind, body, device = said["kind"], said["body"], said["device"]
        if kind == "workshop.keyed":
            self.edition = self.edition or body.get("edition", 1)
            self.roles[device] = "console"
        if kind == "device.enrolled" and device not in self.roles:
            asked = self.invited.get(body["invitation"])
            if asked:
                self.roles[device], self.persons[device] = asked["role"], asked["person"]
        if not self.may(said):
            return
        if kind == "rules.began":
            self.edition = max(self.edition, body["edition"])
        elif kind == "device.invited":
            self.invited[said["id"]] = body
            rank = max(self.ranks.get(body["person"], 0), self.rank(body["role"]))
            self.ranks[body["person"]] = rank
        elif kind == "device.serves":
            self.serves[body["device"]] = body["persons"]
        elif kind == "device.revoked":
            self.revoked.setdefault(body["device"], index)


def standings(records):
    """Return the standing of each entry by its id."""
    rights, may, late, accepted = Rights(), {}, {}, set()
    for index, said in sorted(records.items()):
        rights.take(index, said)
        name = said["id"]
        may[name] = rights.may(said)
        late[name] = rights.edition > 1 and rights.revoked.get(said["device"], index) < index
        if said["kind"] == "work.accepted" and may[name]:
            accepted |= set(said["body"]["entries"])
    all_of = list(records.values())
    numbers = {(said["device"], said["seq"]) for said in all_of}
    forking = Counter(
        (said["device"], said["seq"])
        for said in all_of
        if said["id"] in accepted or not late[said["id"]]
    )

    def judge(said):
        name, device, seq = said["id"], said["device"], said["seq"]
        if name in accepted:
            return "good"
        if late[name]:
            return "doubted"
        if forking[device, seq] > 1:
            return "forked"
        if not may[name]:
            return "doubted"
        is_first = seq == 1 or (device, seq - 1) in numbers
        return "good" if is_first and set(said["after"]) <= may.keys() else "gap"

    return {said["id"]: judge(said) for said in all_of}
