"""Logs of several devices with gaps, forks and what comes before what it comes after."""

from workshop import uuid7


def numbered(rng, phones, job):
    """Entries with few numbers, of several devices; some name one that came, or is to come."""
    made = []
    for number in range(30):
        phone = rng.choice(phones)
        phone.seq = rng.randrange(2, 8)
        phone.heads[job] = [one.id for one in rng.sample(made, min(len(made), rng.randrange(3)))]
        made.append(phone.write("step.begun", {"step": f"s{number}"}, job))
    return made


def in_two_jobs(rng, owner, phones):
    """A log of several devices, with forks and gaps, that ends jobs and goes on with them."""
    jobs, made = [uuid7(), uuid7()], []
    for number in range(60):
        phone, job = rng.choice([owner, *phones]), rng.choice(jobs)
        if rng.random() < 0.2:
            phone.seq = max(0, phone.seq + rng.choice([-2, -1, 1]))
        if rng.random() < 0.2:
            phone.heads[job] = [one.id for one in rng.sample(made, min(len(made), 2))]
        kinds = ["step.begun", "job.taken", "job.closed", "tool.out"]
        kind = rng.choice([*kinds, "review.returned"] if phone is owner else kinds)
        bodies = {"job.closed": {"end": "done"}, "tool.out": {"tool": "pin", "id": "T-1"}}
        bodies["step.begun"] = {"step": f"s{number}"}
        bodies["review.returned"] = {"step": "s1", "question": {"blob": "ab" * 32}}
        made.append(phone.write(kind, bodies.get(kind, {}), job))
    said = [*made, *rng.sample(made, 5)]
    for change, body in (
        ("work.accepted", {"entries": [one.id for one in rng.sample(made, 9)], "because": "seen"}),
        ("device.revoked", {"device": phones[0].id, "because": "lost"}),
        ("work.accepted", {"entries": [one.id for one in rng.sample(made, 9)], "because": "seen"}),
    ):
        said.insert(rng.randrange(20, 60), owner.write(change, body))
    return said
