"""Findings and appointments of a job: by hand, and against the phone on random logs."""

import random
from dataclasses import asdict, replace

from random_jobs import random_job, random_links
from twoturns.procedure.machine.appointments import Appointment, appointment
from twoturns.procedure.machine.findings import Finding, findings, offered
from twoturns.procedure.machine.fold import fold
from twoturns.procedure.machine.log import LogEntry


def entry(name: str, after: list[str], kind: str, /, standing: str = "good", **body) -> LogEntry:
    return LogEntry(name, after, kind, body, standing, "p", "d")


def chain(*said: tuple[str, dict]) -> list[LogEntry]:
    """Entries `a`, `b`, ... of which each has seen the one before."""
    names = [chr(ord("a") + n) for n in range(len(said))]
    afters = [[], *([name] for name in names)]
    return [
        entry(name, after, kind, **body)
        for name, after, (kind, body) in zip(names, afters, said, strict=False)
    ]


NOTED = ("finding.noted", {"step": "s"})
EXTRA = ("extra.added", {"finding": "a"})
SETTLED = ("finding.settled", {"finding": "a", "how": "done"})


def answered(word: str, *extras: str) -> tuple[str, dict]:
    return "finding.answered", {"finding": "a", "answer": word, "how": "call", "extras": extras}


def the(*said: tuple[str, dict]) -> Finding:
    (one,) = findings(chain(*said))
    return one


def test_a_finding_is_asked_about_until_the_customer_has_said_yes_or_no():
    assert the(NOTED).state == "asked"
    assert the(NOTED, answered("yes")).state == "agreed"
    assert the(NOTED, answered("no")).state == "refused"


def test_of_two_answers_the_later_one_counts_and_two_beside_each_other_are_unsure():
    changed = the(NOTED, answered("yes"), answered("no"))
    assert (changed.state, changed.answers) == ("refused", ("c",))
    _, yes, no = chain(NOTED, answered("yes"), answered("no"))
    beside = [entry("a", [], *NOTED[:1], **NOTED[1]), yes]
    beside.append(LogEntry("c", ["a"], no.kind, no.body, "good", "p", "d"))
    (one,) = findings(beside)
    assert (one.state, one.is_agreed, one.answers) == ("unsure", False, ("b", "c"))


def test_a_yes_is_to_the_extras_it_names():
    def states(*said):
        return [extra.state for extra in the(NOTED, EXTRA, *said).extras]

    assert states() == ["asked"]
    assert states(answered("yes", "b")) == ["agreed"]
    assert states(answered("yes")) == ["left_out"]
    assert states(answered("no", "b")) == ["left_out"]
    assert states(answered("yes", "b"), ("extra.done", {"extra": "b"})) == ["done"]


def test_an_extra_that_comes_after_the_yes_is_asked_for():
    late = the(NOTED, answered("yes"), EXTRA)
    assert (late.state, late.is_agreed) == ("asked", True)


def test_settled_is_settled_until_somebody_answers_or_adds():
    assert the(NOTED, SETTLED).state == "done"
    assert the(NOTED, ("finding.settled", {"finding": "a", "how": "dropped"})).state == "dropped"
    assert the(NOTED, SETTLED, answered("yes")).state == "agreed"
    assert the(NOTED, answered("yes"), SETTLED, EXTRA).state == "asked"


def test_what_is_doubted_settles_and_answers_nothing():
    log = chain(NOTED, answered("yes"), SETTLED)
    doubted = [
        LogEntry(one.id, one.after, one.kind, one.body, "doubted", "p", "d") for one in log[1:]
    ]
    (one,) = findings([log[0], *doubted])
    assert (one.state, one.answers, one.settled) == ("asked", (), None)


STEPS = [
    {
        "id": "s",
        "proof": [{"name": "n", "options": [{"id": "oil", "finding": True}, {"id": "dry"}]}],
        "fails": [{"id": "f", "finding": True}, {"id": "g"}],
    }
]


def read(value: str) -> tuple[str, dict]:
    return "reading.taken", {"step": "s", "name": "n", "value": value}


def test_an_answer_that_is_a_finding_is_offered_until_it_is_noted_or_read_again():
    def names(*said):
        return [one.id for one in offered(chain(*said), STEPS)]

    assert names(read("oil")) == ["a"]
    assert names(read("dry")) == []
    assert names(read("oil"), read("dry")) == []
    assert names(read("oil"), ("finding.noted", {"step": "s", "name": "n", "value": "oil"})) == []
    assert names(read("oil"), ("finding.noted", {"step": "s"})) == ["a"]
    assert names(("step.failed", {"step": "s", "failure": "f"})) == ["a"]
    assert names(("step.failed", {"step": "s", "failure": "g"})) == []


def test_the_last_plan_counts_and_one_that_did_not_know_of_it_stands_beside():
    plans = chain(("job.planned", {}), ("job.planned", {}))
    assert appointment(plans) == Appointment("b", (), None)
    beside = [entry("a", [], "job.planned"), entry("b", [], "job.planned")]
    assert appointment(beside) == Appointment("b", ("a",), None)


def test_a_job_is_parked_until_it_is_resumed():
    assert appointment(chain(("job.parked", {}))).parked == "a"
    assert appointment(chain(("job.parked", {}), ("job.resumed", {}))).parked is None
    again = chain(("job.parked", {}), ("job.resumed", {}), ("job.parked", {}))
    assert appointment(again).parked == "c"
    doubted = [*chain(("job.parked", {})), entry("b", ["a"], "job.resumed", "doubted")]
    assert appointment(doubted).parked == "a"


def random_log(rng: random.Random) -> list[LogEntry]:
    log: list[LogEntry] = []
    for name, after, standing in random_links(rng, 14):
        kind, body = _random_word(rng, log)
        log.append(entry(name, after, kind, standing, **body))
    rng.shuffle(log)
    return log


def _random_word(rng: random.Random, log: list[LogEntry]) -> tuple[str, dict]:
    def some(kind: str) -> list[str]:
        return [one.id for one in log if one.kind == kind] or ["gone"]

    finding, extras = rng.choice(some("finding.noted")), some("extra.added")
    place = {"step": "s", "name": "n", "value": rng.choice(["oil", "dry"])}
    named = rng.sample(extras, rng.randint(0, len(extras)))
    words = [
        ("finding.noted", rng.choice([{"step": "s"}, place, {"step": "s", "failure": "f"}])),
        (
            "finding.answered",
            {"finding": finding, "answer": rng.choice(["yes", "no"]), "extras": named},
        ),
        ("finding.answered", {"finding": finding, "answer": "yes"}),
        ("finding.settled", {"finding": finding, "how": rng.choice(["done", "dropped"])}),
        ("extra.added", {"finding": finding}),
        ("extra.done", {"extra": rng.choice(extras)}),
        ("reading.taken", place),
        ("step.failed", {"step": "s", "failure": rng.choice("fg")}),
        ("job.planned", {}),
        ("job.parked", {}),
        ("job.resumed", {}),
    ]
    return rng.choice(words)


def test_the_phone_finds_the_same(peer):
    rng = random.Random(152)
    logs = [random_log(rng) for _ in range(800)]
    sent = [[asdict(one) for one in log] for log in logs]
    theirs = zip(
        peer.calls("findings", [[log] for log in sent]),
        peer.calls("offered", [[log, STEPS] for log in sent]),
        peer.calls("appointment", [[log] for log in sent]),
        strict=True,
    )
    met: set[str] = set()
    for log, (found, offers, planned) in zip(logs, theirs, strict=True):
        ours = findings(log)
        assert found == [_as_phone(one) for one in ours]
        assert [one["id"] for one in offers] == [one.id for one in offered(log, STEPS)]
        mine = appointment(log)
        assert planned == {**asdict(mine), "beside": list(mine.beside)}
        met |= {one.state for one in ours} | {each.state for one in ours for each in one.extras}
        met |= {name for name, said in planned.items() if said}
    assert met >= {"asked", "agreed", "refused", "unsure", "done", "dropped", "left_out", "parked"}
    assert met >= {"planned", "beside"}


def _as_phone(one: Finding) -> dict:
    said = asdict(one)
    return {
        **{name: said[name] for name in ("entry", "step", "state", "settled")},
        "isAgreed": one.is_agreed,
        "answers": list(one.answers),
        "extras": list(said["extras"]),
    }


BESIDE = {
    "finding.noted": {"step": "s0"},
    "finding.answered": {"finding": "gone", "answer": "yes", "how": "call"},
    "finding.settled": {"finding": "gone", "how": "done"},
    "extra.added": {"finding": "gone"},
    "extra.done": {"extra": "gone"},
    "job.planned": {},
    "job.parked": {"why": "part"},
    "job.resumed": {},
}


def test_none_of_it_changes_a_machine_and_the_phone_folds_it_alike(peer):
    rng, jobs = random.Random(153), [random_job(seed) for seed in range(500)]
    logs = []
    for bundle, machine, log in jobs:
        ids = [one.id for one in log]
        said = [
            entry(f"~{n}", sorted(rng.sample(ids, min(2, len(ids)))), kind, **BESIDE[kind])
            for n, kind in enumerate(rng.sample(sorted(BESIDE), 4))
        ]
        before, after = fold(machine, log), fold(machine, [*log, *said])
        assert replace(after, heads=[], closed=None, approved=None) == replace(
            before, heads=[], closed=None, approved=None
        )
        is_work = any(one.kind.startswith("extra.") for one in said)
        if before.closed and not is_work:
            assert after.closed == before.closed
        logs.append((bundle, [*log, *said], after))
    calls = [[bundle, [asdict(one) for one in log]] for bundle, log, _ in logs]
    for answer, (_, _, after) in zip(peer.calls("verdicts", calls), logs, strict=True):
        assert answer["state"] == after.to_json()
    assert sum(after.closed is not None for *_, after in logs) > 10
