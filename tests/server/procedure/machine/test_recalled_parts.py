"""What a recall finds in a job: by hand, and against the phone on random logs."""

import random

from random_jobs import random_links
from twoturns.procedure.machine.log import LogEntry
from twoturns.procedure.machine.recalled_parts import in_engine


def entry(name: str, after: list[str], kind: str, body: dict, standing: str = "good") -> LogEntry:
    return LogEntry(name, after, kind, body, standing, "p", "d")


def fitted(name, after, lot, standing="good", /, **where):
    place = {"step": "s", "name": "n", "part": "belt", "lot": lot} | where
    return entry(name, after, "part.fitted", place, standing)


def lots(*log: LogEntry) -> list[str]:
    return [part.lot for part in in_engine(log)]


def test_a_later_fitting_of_the_same_place_replaces_one():
    assert lots(fitted("a", [], "1"), fitted("b", ["a"], "2")) == ["2"]
    assert lots(fitted("a", [], "1"), fitted("b", ["a"], "2", name="m")) == ["1", "2"]


def test_what_did_not_know_of_it_or_is_doubted_replaces_nothing():
    assert lots(fitted("a", [], "1"), fitted("b", [], "2")) == ["1", "2"]
    assert lots(fitted("a", [], "1"), fitted("b", ["a"], "2", "doubted")) == ["1", "2"]
    assert lots(fitted("a", [], "1", "doubted"), fitted("b", ["a"], "2")) == ["2"]


def test_taken_over_is_the_very_fitting_that_is_named_by_a_good_word():
    taken = {"recall": "r", "parts": ["a"], "because": {"blob": "x"}}
    log = [fitted("a", [], "1"), entry("t", ["a"], "recall.borne", taken)]
    assert [part.borne for part in in_engine(log)] == [("r",)]
    doubted = [log[0], entry("t", ["a"], "recall.borne", taken, "doubted")]
    assert [part.borne for part in in_engine(doubted)] == [()]
    assert [part.borne for part in in_engine([*log, fitted("b", ["t"], "1")])] == [()]


def test_replaced_elsewhere_is_what_was_fitted_before_a_good_word_says_so():
    said = {"of": "r", "how": "replaced"}
    log = [fitted("a", [], "1"), entry("f", ["a"], "recall.followed", said)]
    (part,) = in_engine(log)
    assert part.followed == ("r",)
    assert not part.stops("r")
    assert part.stops("another")
    told = [log[0], entry("f", ["a"], "recall.followed", {"of": "r", "how": "told"})]
    doubted = [log[0], entry("f", ["a"], "recall.followed", said, "doubted")]
    did_not_know = [log[0], entry("f", [], "recall.followed", said)]
    for other in (told, doubted, did_not_know):
        assert in_engine(other)[0].stops("r")


def random_log(rng: random.Random) -> list[LogEntry]:
    log: list[LogEntry] = []
    for number, (name, after, standing) in enumerate(random_links(rng, 12)):
        seen = [one.id for one in log]
        if rng.random() < 0.15:
            said = {"of": rng.choice("qr"), "how": rng.choice(["told", "replaced"])}
            log.append(entry(name, after, "recall.followed", said, standing))
        elif rng.random() < 0.6:
            where = {"step": rng.choice("st"), "name": rng.choice("nm")}
            log.append(fitted(name, after, str(number), standing, **where))
        else:
            parts = rng.sample([*seen, "gone"], rng.randint(1, min(3, len(seen) + 1)))
            taken = {"recall": rng.choice("qr"), "parts": parts, "because": {"blob": "x"}}
            log.append(entry(name, after, "recall.borne", taken, standing))
    rng.shuffle(log)
    return log


def test_the_phone_finds_the_same(peer):
    rng = random.Random(71)
    logs = [random_log(rng) for _ in range(500)]
    sent = [[[as_json(one) for one in log]] for log in logs]
    found = 0
    for log, theirs in zip(logs, peer.calls("in_engine", sent), strict=True):
        ours = [
            {
                "entry": part.entry,
                "step": part.step,
                "name": part.name,
                "part": part.part,
                "lot": part.lot,
                "borne": list(part.borne),
                "followed": list(part.followed),
            }
            for part in in_engine(log)
        ]
        assert theirs == ours
        found += any(part["borne"] and part["followed"] for part in ours)
    assert found > 10


def as_json(one: LogEntry) -> dict:
    return {name: getattr(one, name) for name in LogEntry.__slots__}
