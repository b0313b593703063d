"""A check ends whatever the procedure, says how far it is, and never passes unfinished."""

import pytest

from demo_procedures import HATCH, VAN, text_of
from mutants import mutants_of
from twoturns.procedure.compile.compiler import compile_source
from twoturns.procedure.prove import interrupt
from twoturns.procedure.prove.prove import prove_compiled

pytestmark = pytest.mark.slow(5)


def van(text=None):
    return compile_source((text or text_of(VAN)).encode(), {})


def codes(proof):
    return [found.code for found in proof.findings]


@pytest.mark.parametrize(("name", "step"), [(VAN, "secure_van"), (HATCH, "secure_car")])
def test_a_check_ends_where_the_straight_job_leaves_the_walk(name, step):
    """A way from there once led back into itself, and was followed until the memory was full."""
    mutants = mutants_of(name)
    without = dict(mutants.deletions())[step]
    assert "not-straight" in codes(prove_compiled(mutants.compiled(without)))


def test_a_check_ends_where_a_pin_is_never_taken_out():
    spoilt = text_of(VAN).replace(", crank_lock=out", "")
    assert spoilt != text_of(VAN)
    assert "not-straight" in codes(prove_compiled(van(spoilt)))


def test_nothing_is_called_proved_when_the_interruptions_were_given_up(monkeypatch):
    monkeypatch.setattr(interrupt, "MOST_STATES", 1)
    assert "too-many-states" in codes(prove_compiled(van()))


def test_a_walk_says_now_and_then_how_far_it_is():
    told = []
    prove_compiled(van(), told.append)
    assert told == sorted(told)
    assert len(told) > 5
