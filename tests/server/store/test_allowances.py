"""
What a device may still have, over all processes: held against a bucket that is kept in one place
and drops by the clock, as ITU-T I.371, annex A, says that both ways of counting come to the same.
"""

import random
from datetime import datetime, timedelta

import pytest

from twoturns.store.allowances import Allowances, Spent, Want
from workshop import NOON, Workshop


@pytest.fixture
def database(tmp_path):
    return Workshop(tmp_path / "data").store.database


def want(least: float, portion: float = 0, *, name: str = "jobs") -> Want:
    """Of 100 at once, and 10 a second."""
    return Want(name, 100, 10, least, portion)


def drawn(kept: Allowances, amount: float, now: datetime) -> int | None:
    """Draw, and return None; or for how many seconds that is refused."""
    try:
        kept.draw("phone", [want(amount)], now)
    except Spent as spent:
        return spent.wait_s
    return None


def test_it_comes_to_the_same_as_a_bucket_that_leaks(database):
    kept, chance = Allowances(database), random.Random(17)
    level, now = 0.0, NOON
    taken = refused = 0
    for _ in range(300):
        pause = chance.choice([0, 0.1, 0.5, 3.0])
        now += timedelta(seconds=pause)
        level = max(0.0, level - pause * 10)
        amount = chance.choice([1, 5, 20, 60])
        wait_s = drawn(kept, amount, now)
        if wait_s is None:
            taken += 1
            level += amount
            assert level <= 100.0001
        else:
            refused += 1
            assert 0 <= wait_s - (level + amount - 100) / 10 < 1
    assert taken > 50
    assert refused > 50


def test_a_portion_is_what_is_left_where_less_is_left_and_never_more_in_all(database):
    one, other = Allowances(database), Allowances(database)
    drawn = [kept.draw("phone", [want(1, 30)], NOON)[0] for kept in (one, other, one, other)]
    assert drawn == [30, 30, 30, 10]
    with pytest.raises(Spent) as spent:
        one.draw("phone", [want(1, 30)], NOON)
    assert spent.value.wait_s == 1
    assert other.draw("another phone", [want(1, 30)], NOON) == [30]


def test_of_several_all_is_taken_or_nothing(database):
    kept = Allowances(database)
    kept.draw("phone", [want(95, name="values")], NOON)
    with pytest.raises(Spent) as spent:
        kept.draw("phone", [want(40), want(10, name="values")], NOON)
    assert spent.value.name == "values"
    assert kept.draw("phone", [want(100)], NOON) == [100]


def test_to_look_takes_nothing_and_needs_no_table(database):
    kept = Allowances(database)
    with database.write() as db:
        db.execute("drop table allowances")  # as in a folder of before
    kept.require("phone", [want(100)], NOON)
    assert not database.has_table("allowances")
    with pytest.raises(Spent):
        kept.require("phone", [want(101)], NOON)
    assert kept.draw("phone", [want(100)], NOON) == [100]
    with pytest.raises(Spent):
        kept.require("phone", [want(1)], NOON)


def test_what_a_clock_emptied_that_was_years_ahead_comes_back_from_now_on(database):
    kept, ahead = Allowances(database), NOON + timedelta(days=3650)
    kept.draw("phone", [want(100)], ahead)
    with pytest.raises(Spent) as spent:
        kept.draw("phone", [want(20)], NOON)
    assert spent.value.wait_s == 2
    assert kept.draw("phone", [want(20)], NOON + timedelta(seconds=2)) == [20]


def test_what_a_device_has_again_is_not_kept(database):
    kept = Allowances(database)
    for name in ("jobs", "values", "text"):
        kept.draw("phone", [want(10, name=name)], NOON)
    kept.draw("phone", [want(10)], NOON + timedelta(minutes=1))
    assert database.rows("select name from allowances") == [{"name": "jobs"}]
