"""The compiler: against a machine worked out by hand, and each thing that it refuses."""

import pytest

from tiny_procedure import TINY_MACHINE, TINY_RULES, TINY_SOURCE
from twoturns.instruments import pluck
from twoturns.procedure.compile.check_steps import PLUCK_HZ
from twoturns.procedure.compile.compiler import compile_source
from twoturns.procedure.errors import SourceErrors
from twoturns.procedure.rules.house import SilentRule


def compiled(source=TINY_SOURCE):
    return compile_source(source.encode(), {}, TINY_RULES)


def machine_step(source, step):
    steps = compiled(source).bundle["machine"]["steps"]
    return next(each for each in steps if each["id"] == step)


def changed(old, new):
    """The tiny source with one place changed; the place must be there exactly once."""
    assert TINY_SOURCE.count(old) == 1
    return TINY_SOURCE.replace(old, new)


def problems(source):
    with pytest.raises(SourceErrors) as refused:
        compiled(source)
    return refused.value.problems


def the_problem(old, new):
    """The one problem of the changed source, found on the first changed line."""
    found = problems(changed(old, new))
    assert len(found) == 1, found
    return found[0]


def line_of(source, text):
    return source[: source.index(text)].count("\n") + 1


@pytest.mark.parametrize("part", TINY_MACHINE)
def test_the_machine_is_the_one_worked_out_by_hand(part):
    assert compiled().bundle["machine"][part] == TINY_MACHINE[part]


def test_a_rule_about_a_condition_that_is_absent_is_reported_silent():
    assert compiled().silent_rules == (
        SilentRule("hybrid_still_live", True, ("high_voltage",), unasked=("high_voltage",)),
    )
    assert [rule["id"] for rule in compiled().bundle["rules"]] == [
        "crank_turned_against_a_lock",
        "belt_off_under_tension",
    ]


def test_people_read_what_the_source_states_and_nothing_else():
    bundle = compiled().bundle
    turns = next(step for step in bundle["steps"] if step["id"] == "two_turns")
    assert turns["proof"][0] == {
        "name": "turned",
        "kind": "reading",
        "label": "angle turned",
        "unit": "°",
        "low": "715",
        "high": "725.0",
    }
    assert "because" not in turns
    assert "torque" not in turns
    assert bundle["interrupt_minutes"] == 15
    assert bundle["conditions"][0]["values"][1] == {
        "id": "in",
        "says": "the pin is in the crankshaft",
    }


def test_what_is_to_be_followed_up_is_said_where_it_is_and_nowhere_else():
    choice = "proof: [{name: traces, kind: choice, label: traces, options: [{id: dry, says: dry}, "
    choice += "{id: oil, finding: yes, says: oil}]}]\n    fails:\n      - id: nut_seized\n"
    source = changed("fails:\n      - id: nut_seized\n", choice + "        finding: yes\n")
    (step,) = [one for one in compiled(source).bundle["steps"] if one["fails"]]
    assert [option.get("finding") for option in step["proof"][-1]["options"]] == [None, True]
    assert step["fails"][0]["finding"] is True
    assert "'finding'" not in repr(compiled().bundle)


def test_an_answer_that_nobody_can_give_is_no_finding():
    choice = "proof: [{name: traces, kind: choice, label: traces, options: [{id: dry, says: dry}, "
    choice += "{id: oil, ok: no, finding: yes, says: oil}]}]\n    fails:\n      - id: nut_seized\n"
    (problem,) = problems(changed("fails:\n      - id: nut_seized\n", choice))
    assert "say it at the failure" in problem.message


def test_a_rule_is_asked_of_the_state_between_the_parts_of_a_step():
    # The pin is in before the crank is turned: the step itself breaks the rule, in any state.
    source = changed("does: [lock=out, turn_crank, turns=two]", "does: [lock=in, turn_crank]")
    assert machine_step(source, "two_turns")["rules"] == [
        {"rule": 0, "guard": [[0, 0], [2, 0b101]]}
    ]


def test_a_rule_asks_the_state_before_when_its_condition_comes_later_in_the_step():
    source = changed("does: [lock=out, turn_crank, turns=two]", "does: [turn_crank, lock=out]")
    assert machine_step(source, "two_turns")["rules"] == [
        {"rule": 0, "guard": [[0, 0b1], [2, 0b101]]}
    ]


def test_writing_the_value_that_is_there_is_no_move_and_meets_no_rule():
    source = changed(
        "does: [nut=loose, belt=off]", "does: [nut=loose, belt=off, nut=tight, belt=off]"
    )
    assert machine_step(source, "belt_off")["rules"] == [{"rule": 1, "guard": [[0, 0b10]]}]


def test_a_condition_written_twice_leaves_both_values_on_the_way():
    source = changed(
        "does: [lock=out, turn_crank, turns=two]", "does: [lock=in, lock=out, turns=two]"
    )
    step = machine_step(source, "two_turns")
    assert step["on_the_way"] == [[0, 0b11]]
    assert step["effect"] == [[0, 0], [3, 1]]


def test_a_proof_that_falls_and_is_proved_again_in_one_step_ends_proved():
    source = changed(
        "does: [lock=out, turn_crank, turns=two]", "does: [nut=loose, nut=tight, turns=two]"
    )
    step = machine_step(source, "two_turns")
    assert step["effect"] == [[1, 0], [3, 1], [4, 0]]
    assert step["on_the_way"] == [[1, 0b11], [3, 0b1], [4, 0b1]]


def test_a_failure_lets_fall_what_its_own_moves_void():
    source = changed("leaves: {nut: tight}", "leaves: {nut: loose}")
    assert machine_step(source, "belt_off")["fails"][0]["effect"] == [[1, 1], [3, 0], [4, 0]]


def test_a_failure_of_a_step_that_proves_takes_the_proof_and_what_rests_on_it():
    source = changed(
        "    tools_in: [l1]\n",
        "    tools_in: [l1]\n"
        "    fails:\n"
        "      - {id: hard_spot, says: A hard spot., then: Stop., look: [lock]}\n",
    )
    assert machine_step(source, "two_turns")["fails"] == [
        {"id": "hard_spot", "effect": [[3, 0], [4, 0]], "look": [0]}
    ]


def test_a_rule_that_allows_nothing_forbids_in_every_state():
    own = "rules:\n  no: {kind: ask, never: Sign, doing: [timing=proved], because: No.}\n"
    source = TINY_SOURCE.replace("phases:\n", own + "phases:\n")
    bundle = compiled(source).bundle
    assert bundle["rules"][2]["id"] == "no"
    assert machine_step(source, "sign")["rules"] == [{"rule": 2, "guard": [[0, 0]]}]


REFUSED = {
    "unknown condition in asks": ("asks: {lock: out}", "asks: {lok: out}", "unknown", "lock"),
    "unknown value in asks": ("asks: {lock: out}", "asks: {lock: outt}", "unknown", "'out'"),
    "unknown condition in does": (
        "does: [timing=proved]",
        "does: [timng=proved]",
        "unknown",
        "timing",
    ),
    "unknown value in does": ("does: [lock=in]", "does: [lock=inn]", "unknown", "'in'"),
    "action that no rule knows": (
        "does: [lock=in]",
        "does: [lock=in, turn_krank]",
        "unknown",
        "turn_crank",
    ),
    "unknown phase": ("number: 1\n    phase: off", "number: 1\n    phase: of", "unknown", "off"),
    "unknown tool": ("act: Signed\n", "act: Signed\n    tools_in: [l2]\n", "unknown", "l1"),
    "unknown wheel": ("act: Signed\n", "act: Signed\n    look: [crnk]\n", "unknown", "crank"),
    "unknown condition in the drawing": (
        "condition: lock}}",
        "condition: lok}}",
        "unknown",
        "lock",
    ),
    "failure that leaves a condition open": ("        look: [belt]\n", "", "failure-open", "look"),
    "failure that says a thing twice": (
        "leaves: {nut: tight}",
        "leaves: {nut: tight, belt: off}",
        "failure-twice",
        "Keep",
    ),
    "failure that proves": (
        "leaves: {nut: tight}",
        "leaves: {nut: tight, turns: two}",
        "failure-proves",
        "first",
    ),
    "look at what is not touched": (
        "look: [belt]",
        "look: [belt, lock]",
        "look-untouched",
        "leaves",
    ),
    "undo step that is a must": (
        "    undo: yes\n",
        "    undo: yes\n    must: yes\n",
        "undo-must",
        "leave must out",
    ),
    "undo step that proves": (
        "does: [lock=in, nut=loose, belt=off]",
        "does: [timing=proved]",
        "undo-proves",
        "order",
    ),
    "proof left by two steps": (
        "does: [lock=in]",
        "does: [lock=in, turns=two]",
        "proof-twice",
        "one step only",
    ),
    "illegal move inside a step": (
        "does: [belt=new, nut=tight]",
        "does: [belt=new, nut=tight, belt=old]",
        "illegal-move",
        "belt",
    ),
    "move to which no way leads": ("does: [lock=in]", "does: [belt=old]", "illegal-move", "belt"),
    "tool that never returns": (
        "act: Signed\n",
        "act: Signed\n    tools_out: [l1]\n",
        "tool-out",
        "tools_in",
    ),
    "proof that undoes what it rests on": (
        "does: [timing=proved]",
        "does: [nut=loose, timing=proved]",
        "proof-undone",
        "two steps",
    ),
    "proof with a start": (
        "  proof:\n    turns:\n",
        "  proof:\n    turns:\n      start: two\n",
        "proof-start",
        "unproved",
    ),
    "void of a proof": ("  nut=loose: turns", "  turns=two: timing", "void-of-proof", "rests"),
    "circle of proofs": (
        "  timing: turns\n",
        "  timing: turns\n  turns: timing\n",
        "circle",
        "out",
    ),
    "step without a number": ("    number: 5\n", "", "missing", "number"),
    "marks on a photo as the only proof": (
        "    proof:\n      - {name: signed,",
        "    proof:\n      - {name: notch, kind: reading, label: notch, unit: teeth, low: -0.25,"
        " high: 0.25, by: [marks], wheel: crank}\n"
        "      - {name: agreed, kind: confirm, label: agreed}\n"
        "  - id: sign_again\n    number: 6\n    phase: on\n    title: Sign\n    act: Signed\n"
        "    says: [Sign.]\n    proof:\n      - {name: signed,",
        "marks-alone",
        "second proof",
    ),
    "marks of a wheel without teeth": (
        "    proof:\n      - {name: signed,",
        "    proof:\n      - {name: notch, kind: reading, label: notch, unit: teeth, low: -0.25,"
        " high: 0.25, by: [marks], wheel: tensioner}\n      - {name: signed,",
        "unknown",
        "crank",
    ),
    "pluck of a span too low to be heard": (
        "unit: °, low: 715, high: 725.0}",
        "unit: Hz, low: 24.9, high: 60, by: [pluck, hand]}",
        "pluck-range",
        "25 to 450 Hz",
    ),
    "pluck of a span too high to be heard": (
        "unit: °, low: 715, high: 725.0}",
        "unit: Hz, low: 400, high: 450.1, by: [pluck, hand]}",
        "pluck-range",
        "by hand",
    ),
    "pluck of a window whose target is not in it": (
        "unit: °, low: 715, high: 725.0}",
        "unit: Hz, low: 60, high: 80, target: 90, by: [pluck, hand]}",
        "target",
        "Mend the target",
    ),
    "window that is upside down": (
        "low: 715, high: 725.0}",
        "low: 725, high: 715}",
        "window",
        "smaller limit",
    ),
    "target above its limits": (
        "low: 715, high: 725.0}",
        "low: 715, high: 725.0, target: 726}",
        "target",
        "Mend the target",
    ),
    "target below its only limit": (
        "low: 715, high: 725.0}",
        "low: 715, target: 714.9}",
        "target",
        "Mend the target",
    ),
    "wait in hours": (
        "{name: teeth, kind: count, label: teeth, target: 72}",
        "{name: teeth, kind: wait, label: wait, low: 1, unit: h}",
        "wait-unit",
        "low: 60, unit: min",
    ),
    "wait of nothing": (
        "{name: teeth, kind: count, label: teeth, target: 72}",
        "{name: teeth, kind: wait, label: wait, low: 0, unit: min}",
        "wait",
        "minutes",
    ),
    "count to a half": (
        "label: teeth, target: 72}",
        "label: teeth, target: 72.5}",
        "count",
        "whole number",
    ),
    "unit that nobody knows": (
        "unit: °, low: 715, high: 725.0}",
        "unit: Nm, low: 715, high: 725.0}",
        "unknown",
        "N·m",
    ),
    "type of tool that nobody can register": (
        "unit: °, low: 715, high: 725.0}",
        "unit: °, low: 715, high: 725.0, tool: angle_gage}",
        "unknown",
        "angle_gauge",
    ),
    "unit that its tool does not read in": (
        "unit: °, low: 715, high: 725.0}",
        "unit: mm, low: 715, high: 725.0, tool: angle_gauge}",
        "tool-unit",
        "unit: °",
    ),
    "count of tools that is not theirs": (
        "label: teeth, target: 72}",
        "label: teeth, target: 72, of: tools}",
        "count-of",
        "mend the list",
    ),
    "figure held against one that comes later": (
        "label: teeth, target: 72}",
        "label: teeth, target: 72, like: sign.signed}",
        "unknown",
        "belt_on.whole_drive",
    ),
    "figure held against a photo": (
        "label: teeth, target: 72}",
        "label: teeth, target: 72, like: belt_on.whole_drive}",
        "like",
        "one kind and unit",
    ),
    "picture that is not there": (
        "drive:\n",
        "assets: [notch.png]\ndrive:\n",
        "picture-missing",
        "beside",
    ),
    "picture at a step that does not travel": (
        "    act: Pin slides home",
        "    picture: {asset: notch.png}\n    act: Pin slides home",
        "unknown",
        "names none",
    ),
    "part of a picture that is not on it": (
        "    act: Pin slides home",
        "    picture: {asset: notch.png, crop: {left_percent: 60, top_percent: 0,"
        " width_percent: 41, height_percent: 50}}\n    act: Pin slides home",
        "value",
        "",
    ),
    "arrow that turns more than once": (
        "    act: Pin slides home",
        "    picture: {asset: notch.png, arrow: {x_percent: 100, y_percent: 0,"
        " angle_deg: 360}}\n    act: Pin slides home",
        "value",
        "",
    ),
    "house rule replaced": (
        "phases:\n",
        "rules:\n  belt_off_under_tension:\n"
        "    {kind: ask, never: No, doing: [belt=off], because: No.}\nphases:\n",
        "rule-replaced",
        "never replaces",
    ),
    "notch that the belt does not reach": (
        "notch_deg: 224.8",
        "notch_deg: 288.3",
        "notch-missed",
        "notch",
    ),
}


@pytest.mark.parametrize("case", REFUSED)
def test_it_refuses(case):
    old, new, code, hint = REFUSED[case]
    found = the_problem(old, new)
    assert found.code == code, found
    assert hint in found.hint, found


def test_a_pluck_is_allowed_where_the_instrument_listens():
    assert pluck.OPEN == PLUCK_HZ
    proof = "unit: Hz, low: 25, high: 450, by: [pluck]}"
    source = changed("unit: °, low: 715, high: 725.0}", proof)
    assert compiled(source).bundle["steps"][3]["proof"][0]["by"] == ["pluck"]


def test_a_rule_whose_values_are_unknown_here_is_a_fault_not_silence():
    source = TINY_SOURCE.replace("        in: the pin is in", "        home: the pin is in")
    source = source.replace("lock: in", "lock: home").replace("lock=in", "lock=home")
    found = problems(source)
    assert [each.code for each in found] == ["rule-value"]
    assert "belt_off_under_tension" in found[0].message


def test_a_fault_stands_at_its_line_and_column():
    source = changed("asks: {lock: out}", "asks: {lok: out}")
    (found,) = problems(source)
    assert found.line == line_of(source, "lok: out")
    assert source.splitlines()[found.line - 1][found.column - 1 :].startswith("out}")


def test_every_fault_is_told_at_once_in_the_order_of_lines():
    source = changed("asks: {lock: out}", "asks: {lok: out}")
    source = source.replace("does: [lock=in]\n", "does: [lock=inn]\n").replace(
        "look: [belt]", "look: []"
    )
    found = problems(source)
    assert [each.code for each in found] == ["unknown", "failure-open", "unknown"]
    assert [each.line for each in found] == sorted(each.line for each in found)


def test_neighbours_may_be_done_together_and_others_not():
    together = TINY_SOURCE.replace("    number: 2\n", "    number: 2\n    together: both\n")
    both = together.replace("    number: 3\n", "    number: 3\n    together: both\n")
    assert machine_step(both, "belt_on")["together"] == "both"
    apart = together.replace("    number: 5\n", "    number: 5\n    together: both\n")
    assert [each.code for each in problems(apart)] == ["together"]


def test_the_steps_of_a_phase_stand_together_in_the_order_of_the_phases():
    slipped = "    number: 4\n    phase: on\n"
    assert TINY_SOURCE.count(slipped) == 1
    (problem,) = problems(TINY_SOURCE.replace(slipped, "    number: 4\n    phase: off\n"))
    assert problem.code == "phase-order"
    assert problem.message == "a step of 'off' stands after one of 'on'"
