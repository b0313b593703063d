"""The house rules: well formed, worded for a mechanic, and never silently silent."""

import re

import pytest

from demo_procedures import VAN, text_of
from tiny_procedure import TINY_RULES
from twoturns.procedure.compile.compiler import compile_source
from twoturns.procedure.rules.house import SilentRule, actions_in, house_rules, silence


def test_the_rules_are_read_once_and_each_has_its_own_name():
    rules = house_rules()
    assert len(rules) >= 45
    assert len({rule.id for rule in rules}) == len(rules)
    assert house_rules() is rules


@pytest.mark.parametrize("rule", house_rules(), ids=lambda rule: rule.id)
def test_a_rule_reads_as_a_sentence_to_a_mechanic(rule):
    assert re.fullmatch(r"[a-z_]+", rule.id), "a word, never a code"
    assert rule.kind in ("stop", "ask")
    assert rule.never[0].isupper()
    assert not rule.never.endswith(".")
    assert rule.because.endswith(".")
    assert rule.source
    assert "memory" not in rule.source
    spoken = f"{rule.never} {rule.because}".lower()
    assert not re.search(r"\b(you|your|error|invalid|must not)\b", spoken)


def test_turning_with_the_belt_off_is_forbidden_and_the_rescue_is_not():
    by_id = {rule.id: rule for rule in house_rules()}
    forbids = by_id["crank_turned_without_belt"]
    assert "turn_crank" in forbids.doing
    assert "bring_to_marks" not in forbids.doing
    # The rescue has rules of its own: no lock in, and no belt that drags the other shaft along.
    assert "bring_to_marks" in by_id["crank_turned_against_a_lock"].doing
    assert dict(by_id["shafts_brought_back_on_a_belt"].unless) == {"belt": ("off", "torn")}


def test_no_rule_falls_silent_over_one_absent_condition():
    rule = TINY_RULES[0]
    found = silence(rule, {"turn_crank"}, set(), {"belt"})
    assert found == SilentRule(rule.id, wholly=False, absent=("lock",), unasked=("lock",))
    assert silence(rule, {"turn_crank"}, set(), {"belt", "lock"}) is None
    assert silence(rule, {"turn_crank"}, set(), set()) == SilentRule(
        rule.id, wholly=True, absent=("lock", "belt"), unasked=("lock", "belt")
    )
    assert silence(rule, set(), set(), {"belt", "lock"}) == SilentRule(
        rule.id, wholly=True, absent=("turn_crank",)
    )


def test_a_value_by_another_name_is_unasked_and_a_thing_that_is_not_there_is_not():
    rule = TINY_RULES[1]  # belt=off unless lock in and nut loose
    found = silence(rule, set(), {"belt=away"}, {"belt", "lock", "nut"})
    assert (found.absent, found.unasked) == (("belt=off",), ("belt=off",))
    found = silence(rule, set(), set(), {"lock", "nut"})
    assert (found.absent, found.unasked) == (("belt=off",), ())


def test_a_rule_that_allows_nothing_is_silent_only_without_its_deed():
    never = next(rule for rule in house_rules() if rule.id == "solvent_on_belt")
    assert never.unless == ()
    assert silence(never, {"spray_at_belt"}, set(), set()) is None
    assert silence(never, set(), set(), set()).wholly


def test_actions_are_what_rules_speak_of():
    assert actions_in(TINY_RULES) == {"turn_crank"}


def test_what_is_said_of_the_camshaft_is_said_of_every_lock_that_no_rule_names():
    """A second camshaft's pin was under no rule: turned against it, the engine was proved."""
    text = text_of(VAN).replace("pump_lock", "exhaust_lock")
    rules = {rule.id: rule for rule in compile_source(text.encode(), {}).rules}
    turned, pushed = rules["crank_turned_against_a_lock"], rules["pin_pushed_off_its_hole"]
    assert ("exhaust_lock", ("out",)) in turned.unless
    assert {"cam_lock=in", "exhaust_lock=in"} <= set(pushed.doing)
    assert "exhaust_lock=in" in rules["cam_pinned_out_of_step"].doing
    assert "exhaust_lock" not in str(house_rules())
