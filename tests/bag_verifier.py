"""
A verifier of evidence bags from formats.md, section 8, alone: it imports nothing of the project.
Outside: BagIt (RFC 8493), Merkle trees (RFC 6962), OKP thumbprints (RFC 7638), C2SP signed notes.
Standings are judged by `standing_verifier`; what a recovery by the paper undid by ours alone.
"""

import base64
import json
import re
import zipfile
from hashlib import sha256

from key_verifier import b64url, canonical, check_signature, keys_of, thumbprint

TAGS = {"bagit.txt", "bag-info.txt", "manifest-sha256.txt"}
NAMES = "records.txt proofs.json checkpoint.txt bundle.json disclosure.json ids.txt account.json"
NEEDED = {"tagmanifest-sha256.txt", "data/head.txt", "data/report.html"} | {
    f"data/{name}" for name in NAMES.split()
}
SINCE = {"data/since.txt", "data/consistency.json"}
BAGIT = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
INFO = """Source-Organization: {}
External-Identifier: {}
External-Description: One job of a workshop, with the proofs of its records
Bagging-Date: {}
Bag-Software-Agent: Two Turns
Payload-Oxum: {}
Two-Turns-Head: {}
"""
SHOWN = (
    r"data/(blobs/|photos/|saw/|copies/|papers/)([0-9a-f]{64})"
    r"(?:\.(?:jpg|png|webp|heic|json|wav|pdf|bin))?"
)


def manifest(digests):
    return "".join(f"{digests[name]}  {name}\n" for name in sorted(digests)).encode()


def check_note(note, name, key):
    text, _, signatures = note.decode().rpartition("\n\n")
    key_id = sha256(name.encode() + b"\n\x01" + b64url(key)).digest()[:4]
    lines = map(base64.b64decode, re.findall(f"^\u2014 {name} (.+)\n", signatures, re.MULTILINE))
    check_signature(key, f"{text}\n".encode(), {o[:4]: o[4:] for o in lines}[key_id])
    return text.split("\n")


def root_of(record, index, size, path):  # as RFC 9162, section 2.1.3.2
    last, node = size - 1, sha256(b"\x00" + record).digest()
    for sibling in path:
        is_right = index % 2 or index == last
        node = sha256(b"\x01" + (sibling + node if is_right else node + sibling)).digest()
        while is_right and index % 2 == 0 and index:
            index, last = index // 2, last // 2
        index, last = index // 2, last // 2
    return node if last == 0 else None


def check(file):
    """Raise an error if something in a bag does not hold; else return its workshop's id."""
    bag = zipfile.ZipFile(file)
    files = {name.partition("/")[2]: bag.read(name) for name in bag.namelist()}
    shown = [one for one in (re.fullmatch(SHOWN, name) for name in files) if one]
    others = files.keys() - {one[0] for one in shown} - NEEDED - TAGS
    assert files.keys() >= NEEDED | TAGS, "files"
    assert others in (set(), SINCE), "files"
    digests = {name: sha256(data).hexdigest() for name, data in files.items()}
    payload = {name: digest for name, digest in digests.items() if name.startswith("data/")}
    assert files["manifest-sha256.txt"] == manifest(payload)
    assert files["tagmanifest-sha256.txt"] == manifest({name: digests[name] for name in TAGS})
    info = dict(line.split(": ", 1) for line in files["bag-info.txt"].decode().splitlines())
    oxum = f"{sum(len(files[name]) for name in payload)}.{len(payload)}"
    entries, records, texts = {}, {}, {}
    for line in files["data/records.txt"].decode().removesuffix("\n").split("\n"):
        index, text = int(line.split(" ")[0]), line.split(" ", 4)[4]
        records[index], texts[index] = line.split(" ", 1)[1].encode(), text
        entries[index] = json.loads(text) | {"id": sha256(text.encode()).hexdigest()}
    job, day = info["External-Identifier"], info["Bagging-Date"]
    mine = [i for i, o in entries.items() if o["job"] == job]
    opened = next(entries[i] for i in mine if entries[i]["kind"] == "job.opened")
    workshop, name = opened["workshop"], f"two-turns/{opened['workshop']}"
    keys, current = keys_of(workshop, entries.values())
    for index, said in entries.items():
        key, text = keys[said["device"]][1], texts[index].encode()
        check_signature(key, text, b64url(records[index].split(b" ")[2].decode()))
        assert (said["workshop"], said["device"]) == (workshop, thumbprint(key))
        assert canonical(json.loads(text)) == text
    assert digests["data/bundle.json"] == opened["body"]["bundle"]
    origin, size, root = check_note(files["data/checkpoint.txt"], name, current)
    proofs = json.loads(files["data/proofs.json"])
    paths = {one["index"]: map(base64.b64decode, one["path"]) for one in proofs["inclusion"]}
    assert (origin, size, [*records]) == (name, str(proofs["size"]), [*paths])
    for index, path in paths.items():
        assert root_of(records[index], index, int(size), path) == base64.b64decode(root)
    listed = [f"{('other', 'entry')[i in mine]} {i} {said['id']}\n" for i, said in entries.items()]
    assert files["data/ids.txt"].decode() == "".join(listed), "left out"
    head = ["two-turns head of a job 1", workshop, job, size, root, day]
    for part, word in (("entries", "entry"), ("others", "other")):
        ids = [one.split(" ")[2] for one in listed if one.startswith(word)]
        head.append(f"{part} {len(ids)} {sha256(''.join(ids).encode()).hexdigest()}")
    (title,) = [o["body"]["name"] for o in entries.values() if o["body"].get("key") == current]
    short = f"{size} {base64.b64decode(root).hex()}"
    told = INFO.format(" ".join(title.split()), job, day, oxum, short)
    assert (files["bagit.txt"], files["bag-info.txt"].decode()) == (BAGIT, told)
    del payload["data/head.txt"]
    head.append(f"payload {sha256(manifest(payload)).hexdigest()}")
    assert check_note(files["data/head.txt"], name, current) == head
    persons = [entries[i]["person"] for i in mine]
    names = [i for i, o in entries.items() if o["kind"] == "person.named"]
    naming = [*mine, *(i for i in names if entries[i]["body"]["person"] in persons)]
    named = re.findall('"blob":"([0-9a-f]{64})"', "".join(texts[i] for i in naming))
    said = {one["blob"]: one["state"] for one in json.loads(files["data/disclosure.json"])}
    held = {one[2]: "copy" if one[1] == "copies/" else "disclosed" for one in shown}
    assert all(digests[one[0]] == one[2] for one in shown if one[1] != "copies/")
    assert {blob: state for blob, state in said.items() if state in ("copy", "disclosed")} == held
    stated = [o["body"]["document"] for o in entries.values() if "document" in o["body"]]
    papers = {one["blob"] for one in stated} - {*named}
    assert [*said] == sorted(said), "disclosure"
    assert {*named} <= said.keys() <= {*named} | papers, "disclosure"
    gone = {o["body"]["blob"] for o in entries.values() if o["kind"] == "blob.erased"}
    assert {blob for blob, state in said.items() if state == "erased"} <= gone
    return workshop
