"""The peer itself: answers come in order, a failure keeps its place."""

import pytest

from peer import PeerError


def test_an_unknown_function_is_an_error_that_names_it(peer):
    with pytest.raises(PeerError, match="unknown function nonsense"):
        peer.call("nonsense")


def test_more_calls_than_the_pipes_hold_come_back_in_order(peer):
    long = "x" * 2000
    answers = peer.calls("echo", [[n, long] for n in range(200)])
    assert answers == [[n, long] for n in range(200)]
