"""A call: triage and a belt's verdict, by shared vectors, by what must never be, by the phone."""

import json
import random
from dataclasses import asdict
from datetime import date, timedelta

import pytest

from ledger_vectors import vectors
from twoturns.trade.belt_due import Fitted, judge_belt, warning
from twoturns.trade.hours import spent, usual_minutes
from twoturns.trade.interval import Interval, Reading, doubt
from twoturns.trade.triage import (
    ADVICE_WORDS,
    ASKS,
    NOTICED_WORDS,
    REASON_WORDS,
    TOLD_WORDS,
    asked,
    triage,
)

VECTORS = vectors("call")


def said_by_chance(rng):
    said = {ask: rng.choice(answers) for ask, answers in ASKS.items() if rng.random() < 0.8}
    return said, rng.sample(list(NOTICED_WORDS), rng.randint(0, 2))


@pytest.mark.parametrize("case", VECTORS["triage"], ids=lambda case: case["says"])
def test_a_call_is_judged(case):
    found = triage(case["said"], case["noticed"])
    assert [found.advice, list(found.because), list(found.told)] == [
        case["advice"],
        case["because"],
        case["told"],
    ]


def test_what_must_never_be_said():
    """HSE, roadside repair and hybrid guidance, as `triage` names it; the rest common practice."""
    rng = random.Random(1)
    for _ in range(3_000):
        said, noticed = said_by_chance(rng)
        found = triage(said, noticed)
        if said.get("runs") != "yes":
            assert "do_not_crank" in found.told
            assert found.advice != "roadside"
        if found.advice == "roadside":
            assert said["belt"] == "auxiliary"
            assert said["hybrid"] == "no"
            assert not {"traffic", "slope", "dark"} & {k for k, v in said.items() if v == "yes"}
        if said.get("stands") == "workshop":
            assert found.advice == "workshop"
        assert found.advice in ADVICE_WORDS
        assert set(found.because) <= REASON_WORDS.keys()
        assert set(found.told) <= TOLD_WORDS.keys()


def test_what_nobody_needs_to_know_is_not_asked():
    assert asked({}) == tuple(ASKS)
    assert "stopped" not in asked({"runs": "yes"})
    assert "traffic" not in asked({"stands": "workshop"})


@pytest.mark.parametrize(
    ("said", "noticed"), [({"runs": "perhaps"}, ()), ({"walks": "yes"}, ()), ({}, ("song",))]
)
def test_what_is_not_known_here_is_refused(said, noticed):
    with pytest.raises(ValueError, match="unknown"):
        triage(said, noticed)


def judged(case):
    fitted = dict(case["fitted"])
    if "on" in fitted:
        fitted["on"] = date.fromisoformat(fitted["on"])
    interval = case["interval"] and Interval(**case["interval"])
    readings = [Reading(date.fromisoformat(one["on"]), one["km"]) for one in case["readings"]]
    verdict = judge_belt(Fitted(**fitted), interval, readings, date.fromisoformat(case["today"]))
    return json.loads(json.dumps(asdict(verdict), default=str)) | {
        "warning": warning(verdict, case.get("plate", ""))
    }


@pytest.mark.parametrize("case", VECTORS["due"], ids=lambda case: case["says"])
def test_a_belt_is_judged(case):
    found = judged(case)
    assert [found["code"], found["limit"]["km"], found["limit"]["on"]] == [
        case["code"],
        case["due_km"],
        case["due_on"],
    ]
    assert (found["warning"] is not None) == (case["code"] in ("overdue", "belt_unknown", "soon"))


def test_a_warning_names_the_vehicle_and_says_why():
    case = VECTORS["due"][0] | {"plate": "TB 12"}
    assert judged(case)["warning"].startswith("Vehicle TB 12. It is due: 150000 km were read")


def belt_by_chance(rng):

    def day():
        return str(date(2015, 1, 1) + timedelta(days=rng.randrange(4_500)))

    fitted = {"on": day()} if rng.random() < 0.7 else {}
    if rng.random() < 0.7:
        fitted["km"] = rng.randrange(0, 200_000)
    interval = {"km": rng.randrange(1, 200) * 1000} if rng.random() < 0.8 else {}
    if not interval or rng.random() < 0.7:
        interval["months"] = rng.randrange(1, 200)
    if rng.random() < 0.4:
        interval["severe"] = rng.choice([0.5, 0.7, 0.75, 0.66])
    return {
        "fitted": fitted,
        "interval": None if rng.random() < 0.05 else interval,
        "readings": [{"on": day(), "km": rng.randrange(300_000)} for _ in range(rng.randrange(5))],
        "today": day(),
        "plate": rng.choice(["", "TB 12"]),
    }


def test_the_phone_says_the_same(peer):
    rng = random.Random(2)
    calls = [said_by_chance(rng) for _ in range(300)]
    told = peer.calls("triage", calls)
    assert told == [json.loads(json.dumps(asdict(triage(*one)))) for one in calls]
    asks = peer.calls("triage_asks", [[said] for said, _ in calls])
    assert asks == [list(asked(said)) for said, _ in calls]
    belts = [belt_by_chance(rng) for _ in range(300)]
    names = ("fitted", "interval", "readings", "today", "plate")
    verdicts = peer.calls("judge_belt", [[one[name] for name in names] for one in belts])
    assert [near(one) for one in verdicts] == [near(judged(one)) for one in belts]
    assert len({one["code"] for one in verdicts}) == 5


def near(verdict):
    """With the rate to a millionth: the two languages round a median of thirds each its way."""
    found = verdict["found"]
    if found is not None and found["km_a_day"] is not None:
        found["km_a_day"] = round(found["km_a_day"], 6)
    return verdict


def test_a_doubt_about_a_reading(peer):
    before = Reading(date(2026, 5, 1), 88_650)
    cases = [
        (88_650, "2026-05-01", None),
        (88_649, "2026-05-02", "odometer-lower"),
        (181_220, "2026-05-01", "odometer-fast"),
        (142_668, "2027-05-01", "odometer-miles"),
        (90_000, "2026-05-02", None),
    ]
    for km, on, code in cases:
        found = doubt(before, Reading(date.fromisoformat(on), km))
        assert (found and found.code) == code
        said = peer.call("doubt", {"on": "2026-05-01", "km": 88_650}, {"on": on, "km": km})
        assert said == (None if found is None else asdict(found))


def test_hours_leave_pauses_out_and_take_the_middle_job(peer):
    minute = 60_000
    weekend = [0, 40 * minute, 100 * minute, 3_000 * minute, 3_020 * minute]
    assert asdict(spent(weekend)) == {"worked": 120, "paused": 2_900}
    assert peer.call("spent", weekend[::-1]) == {"worked": 120, "paused": 2_900}
    assert asdict(spent([])) == {"worked": 0, "paused": 0}
    assert peer.call("usual_minutes", []) is None is usual_minutes([])
    assert (
        peer.call("usual_minutes", [300, 100, 240, 200])
        == 220
        == usual_minutes([300, 100, 240, 200])
    )
