"""A week of a workshop in which everything happens that the views follow."""

import hashlib

from workshop import NOON, Workshop, opening, private_value, ref, uuid7


def a_photo(number: int) -> dict[str, object]:
    blob = hashlib.sha256(b"photo %d" % number).hexdigest()
    said = {"step": "fit", "name": "seen", "blob": blob, "size": 9, "type": "image/jpeg"}
    return {**said, "width": 0, "height": 0, "how": "live"}


def a_busy_week(workshop: Workshop) -> None:
    """Fill the ledger with one of everything that the views follow."""
    roles = ("owner", "auditor", "mechanic", "mechanic")
    owner, auditor, one, two = (workshop.enrol(role) for role in roles)
    store = workshop.store
    store.name_person(one.person, "Ada Weir", NOON)
    workshop.push(owner.write("tool.registered", {"tool": "W7", "type": "wrench", "label": "W"}))
    workshop.push(
        owner.write("tool.calibrated", {"tool": "W7", "on": "2026-01-01", "due": "2027-01-01"})
    )
    checked = {"tool": "W7", "on": "2026-11-24", "unit": "N·m", "allowed_percent": "4"}
    checked |= {"points": [{"nominal": "20", "found": "18.2"}]}
    workshop.push(owner.write("tool.checked", checked))
    job = workshop.open_job(one)
    reading = {"step": "bolt", "name": "torque", "value": "26.5", "unit": "N·m", "tool": "W7"}
    workshop.push(one.write("reading.taken", reading, job))
    part = {"step": "fit", "name": "belt", "part": "belt", "lot": "L1"}
    workshop.push(one.write("part.fitted", part, job))
    workshop.push(owner.write("lot.recalled", {"lot": "L1", "because": "teeth"}))
    finding = private_value("words", "no cold level was read")
    found = auditor.write("audit.found", {"text": ref(finding), "about": job})
    said = owner.write("audit.answered", {"finding": found.id, "about": job, "text": ref(finding)})
    workshop.push(found, said, blobs=(finding,))
    # A gap that heals, a gap that stays, a fork, and what a revoked phone sends.
    first, second = one.write("job.taken", {}, job), one.write("job.taken", {}, job)
    workshop.push(second)
    workshop.push(first)
    one.write("job.taken", {}, job)
    workshop.push(one.write("job.taken", {}, job))
    forked = two.write("job.taken", {}, job)
    two.seq -= 1
    workshop.push(forked, two.write("step.begun", {"step": "fit"}, job))
    workshop.push(owner.write("device.revoked", {"device": two.id, "because": "lost"}))
    late = two.write("job.closed", {"end": "finished"}, job)
    shot = two.write("photo.taken", a_photo(2), job)
    workshop.push(late, shot)
    seen = {"entries": [late.id, shot.id], "because": "seen"}
    workshop.push(owner.write("work.accepted", seen))
    refused = two.write("job.taken", {}, job)
    words = private_value("words", "held back")
    workshop.push(refused, two.write("note.added", {"text": ref(words)}, job), blobs=(words,))
    workshop.push(owner.write("work.refused", {"entries": [refused.id], "because": "not ours"}))
    workshop.push(owner.write("device.shut", {"device": two.id, "because": "stolen"}))
    # An opening by one who may not, and that is accepted, with what is another job's.
    third = opening(words, private_value("plate", "W 3"))
    invented = one.write("job.opened", third, uuid7(), person=uuid7())
    workshop.push(invented)
    workshop.push(owner.write("work.accepted", {"entries": [invented.id], "because": "so it is"}))
    # A photo, a VIN that comes late, one that is erased, a job without its opening.
    store.ledger.keep([store.blobs.put(b"photo")], NOON)
    vin, plate, other = private_value("vin", "TT 2"), private_value("plate", "W 2"), uuid7()
    early = owner.write("photo.taken", a_photo(1), other)
    opened = owner.write("job.opened", opening(vin, plate), other)
    workshop.push(early)
    workshop.push(opened)
    workshop.push(blobs=(vin, plate))
    erased = {"blob": ref(plate)["blob"], "reason": "asked", "basis": "law"}
    store.ledger.state("blob.erased", erased, NOON)
    asked = {"reason": "asked", "basis": "law"}
    order = owner.write("erasure.ordered", {"blobs": [ref(vin)["blob"]], **asked})
    withdrawn = {"order": order.id, "because": "a mistake"}
    workshop.push(order, owner.write("erasure.withdrawn", withdrawn))
    workshop.push(owner.write("erasure.ruled", {"delay_days": 9, "blobs_a_day": 100}))
    workshop.push(owner.write("job.taken", {}, uuid7()))
    workshop.push(owner.write("backup.outside", {"size": 5, "until": "2027-01-01T00:00:00.000Z"}))
