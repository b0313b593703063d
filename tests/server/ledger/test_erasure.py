"""When an order to erase is carried out: the delay, the second voice, the day's most."""

import pytest

from twoturns.ledger.entry import CONSOLE
from twoturns.ledger.erasure import (
    FIRST,
    MOST_DELAY_DAYS,
    Order,
    Rule,
    Ruled,
    Writer,
    days_after,
    in_force,
    is_ripe,
    may_hasten,
    to_carry_out,
)

NOON = "2026-11-24T12:00:00.000Z"
LATER = days_after(NOON, 30)


def order(name: str, blobs: int, *, due: str = NOON, is_hastened: bool = False) -> Order:
    return Order(name, due, is_hastened, tuple(f"{name}{n}" for n in range(blobs)))


def names(orders) -> list[str]:
    return [one.id for one in orders]


def test_no_delay_is_longer_than_the_law_waits():
    """Regulation (EU) 2016/679, article 12(3): within one month; February has 28 days."""
    assert FIRST.delay_days <= MOST_DELAY_DAYS <= 28


def test_a_rule_holds_when_it_has_begun_and_was_not_withdrawn_before():
    short, long = Rule(1, 9_000), Rule(14, 10)
    stated = [Ruled(short, days_after(NOON, 7)), Ruled(long, days_after(NOON, 9))]
    assert in_force(stated, days_after(NOON, 6)) == FIRST
    assert in_force(stated, days_after(NOON, 8)) == short
    assert in_force(stated, days_after(NOON, 9)) == long
    withdrawn = [Ruled(short, days_after(NOON, 7), withdrawn=days_after(NOON, 3))]
    assert in_force(withdrawn, LATER) == FIRST
    too_late = [Ruled(short, days_after(NOON, 7), withdrawn=days_after(NOON, 8))]
    assert in_force(too_late, LATER) == short


@pytest.mark.parametrize(
    ("second", "may"),
    [
        (Writer("d2", "p2"), True),
        (Writer("d1", "p2"), False),  # the same device, whoever it names
        (Writer("d2", "p1"), False),  # the same person's other device
        (Writer("d1", "p1"), False),
        (Writer("k", CONSOLE), True),
    ],
)
def test_the_second_voice_is_another_person_on_another_device(second, may):
    assert may_hasten(second, Writer("d1", "p1")) is may


def test_the_console_may_hasten_what_it_ordered():
    assert may_hasten(Writer("k", CONSOLE), Writer("k", CONSOLE))


def test_an_owner_who_came_in_just_now_is_no_second_voice_yet():
    assert not is_ripe(NOON, days_after(NOON, 6), 7)
    assert is_ripe(NOON, days_after(NOON, 7), 7)


def test_what_is_due_goes_the_oldest_first_and_never_by_halves():
    orders = [order("a", 3), order("b", 3, due=days_after(NOON, 1)), order("c", 1, due=LATER)]
    assert names(to_carry_out(orders, days_after(NOON, 2), 0, 10)) == ["a", "b"]
    assert names(to_carry_out(orders, days_after(NOON, 2), 0, 5)) == ["a"]
    assert names(to_carry_out(orders, days_after(NOON, 2), 4, 5)) == []


def test_an_order_larger_than_a_days_most_goes_whole_on_a_day_of_its_own():
    orders = [order("large", 20), order("small", 1, due=days_after(NOON, 1))]
    assert names(to_carry_out(orders, LATER, 1, 5)) == []  # nor does the small one overtake it
    assert names(to_carry_out(orders, LATER, 0, 5)) == ["large"]


def test_what_was_hastened_asks_neither_the_day_nor_the_most():
    orders = [order("now", 9, due=LATER, is_hastened=True), order("due", 1)]
    assert names(to_carry_out(orders, NOON, 5, 5)) == ["now"]
    assert names(to_carry_out(orders, NOON, 0, 10)) == ["now", "due"]
