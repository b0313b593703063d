"""A week of a workshop in which everything happens that the views follow."""

from workshop import NOON, Workshop, opening, private_value, ref, uuid7


def a_busy_week(workshop: Workshop) -> None:
    """Fill the ledger with one of everything that the views follow."""
    owner, one, two = (workshop.enrol(role) for role in ("owner", "mechanic", "mechanic"))
    store = workshop.store
    store.name_person(one.person, "Ada Weir", NOON)
    workshop.push(owner.write("tool.registered", {"tool": "W7", "type": "wrench", "label": "W"}))
    workshop.push(
        owner.write("tool.calibrated", {"tool": "W7", "on": "2026-01-01", "due": "2027-01-01"})
    )
    job = workshop.open_job(one)
    reading = {"step": "bolt", "name": "torque", "value": "26.5", "unit": "N·m", "tool": "W7"}
    workshop.push(one.write("reading.taken", reading, job))
    part = {"step": "fit", "name": "belt", "part": "belt", "lot": "L1"}
    workshop.push(one.write("part.fitted", part, job))
    workshop.push(owner.write("lot.recalled", {"lot": "L1", "because": "teeth"}))
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
    workshop.push(late)
    workshop.push(owner.write("work.accepted", {"entries": [late.id], "because": "seen"}))
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
    workshop.push(owner.write("job.opened", opening(vin, plate), other))
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
