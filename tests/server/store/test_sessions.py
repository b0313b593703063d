"""Sessions and nonces of two machines whose clocks differ: one signs in, and is in at both."""

from datetime import timedelta

import pytest

from twoturns.store.sessions import CLOCKS_APART, NONCE_LIFE, SESSION_LIFE, Sessions
from workshop import NOON

DEVICE = "A" * 43
APART = CLOCKS_APART / 2


@pytest.fixture
def two(workshop):
    """Two processes' sessions of one workshop."""
    secret = workshop.store.ledger.signer().seed
    return [Sessions(workshop.store.database, lambda: secret) for _ in range(2)]


@pytest.mark.parametrize("ahead", [APART, -APART])
def test_who_signs_in_at_one_is_in_at_the_other_whose_clock_is_off(two, ahead):
    one, other = two
    nonce = one.nonce(DEVICE, NOON)
    assert other.spend(nonce, DEVICE, NOON + ahead)
    token, _ = other.start(DEVICE, NOON + ahead)
    assert one.find(token, NOON).device == DEVICE
    assert other.find(token, NOON + ahead).device == DEVICE


def test_a_nonce_serves_once_also_where_one_clock_says_that_it_is_over(two):
    """The later clock forgets no nonce that the earlier one would still take."""
    one, other = two
    used, later = one.nonce(DEVICE, NOON), one.nonce(DEVICE, NOON + timedelta(minutes=4))
    assert one.spend(used, DEVICE, NOON)
    assert other.spend(later, DEVICE, NOON + NONCE_LIFE + APART)
    assert not one.spend(used, DEVICE, NOON + NONCE_LIFE)


def test_what_a_clock_that_was_far_ahead_gave_is_nothing(two):
    one, other = two
    nonce = one.nonce(DEVICE, NOON + timedelta(days=1))
    token, _ = one.start(DEVICE, NOON + timedelta(days=1))
    assert not other.spend(nonce, DEVICE, NOON)
    assert other.find(token, NOON) is None


def test_a_session_is_over_after_its_time(two):
    one, other = two
    token, _ = one.start(DEVICE, NOON)
    assert other.find(token, NOON + SESSION_LIFE) is not None
    assert other.find(token, NOON + SESSION_LIFE + timedelta(seconds=1)) is None
