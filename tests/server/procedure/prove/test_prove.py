"""The prover finds each fault that is planted, tells a shortest way to it, and finds no other."""

import copy

import pytest

from bench.bench_prove import bundle_of_bolts
from demo_procedures import asks_of, states_of, text_of
from procedure_walk import Walker
from tiny_procedure import TINY_RULES, TINY_SOURCE
from twoturns.procedure.compile.compiler import compile_source
from twoturns.procedure.prove.packed import Packed
from twoturns.procedure.prove.prove import prove, prove_compiled
from twoturns.procedure.rules.house import Rule

pytestmark = pytest.mark.slow(30)

VAN, HATCH = text_of("van-timing-drive"), text_of("hatch-timing-drive")


def tiny(old="", new=""):
    assert not old or TINY_SOURCE.count(old) == 1
    return compile_source(TINY_SOURCE.replace(old, new).encode(), {}, TINY_RULES).bundle


def van(old="", new=""):
    assert not old or VAN.count(old) == 1
    return compile_source(VAN.replace(old, new).encode(), {}).bundle


@pytest.fixture(scope="module")
def the_van():
    return van()


@pytest.fixture(scope="module")
def proof_of_the_van(the_van):
    return proof_of_source(VAN)


def the_finding(proof, code):
    (found,) = [each for each in proof.findings if each.code == code]
    return found


def replay(bundle, way):
    """Walk a way that the prover told, on the other walker; return the state it leads to."""
    walker, (state, *_) = Walker(bundle["machine"]), [Walker(bundle["machine"]).start()]
    ids = [step["id"] for step in walker.steps]
    for name in way:
        step, _, failure = name.partition(": ")
        at = ids.index(step)
        assert walker.is_open(at, state), name
        if failure == "passed":
            state = walker.passed(at, state)
        elif failure:
            found = next(each for each in walker.steps[at]["fails"] if each["id"] == failure)
            (state, *_) = walker.failed(at, found, state)
        else:
            state = walker.done(at, state)
    return walker, state


def test_the_tiny_procedure_is_proved():
    proof = prove(tiny())
    assert proof.findings == ()
    assert proof.is_proved


def test_the_van_is_proved_and_two_walkers_agree_how_far_one_can_go(the_van, proof_of_the_van):
    assert proof_of_the_van.findings == ()
    states, transitions = states_of(Walker(the_van["machine"]), asks=asks_of(the_van))
    assert proof_of_the_van.states == len(states)
    assert proof_of_the_van.transitions == transitions


def test_a_rule_that_needs_do_not_keep_is_found_with_a_shortest_way():
    bundle = tiny(
        "    asks: {lock: in}\n    does: [nut=loose, belt=off]", "    does: [nut=loose, belt=off]"
    )
    proof = prove(bundle)
    assert proof.is_proved, "the listed order keeps the rule here: the pin is in by then"
    bundle = tiny("    does: [lock=in, nut=loose, belt=off]\n", "    does: [nut=loose, belt=off]\n")
    found = the_finding(prove(bundle), "rule-broken")
    assert found.rule == "belt_off_under_tension"
    assert found.message == (
        "'back: Belt off again' can break a house rule: "
        "never take the belt off while the shafts are free or the nut is tight"
    )
    assert found.hint.startswith("Before it the pin is on the board. The shafts spring away.")
    assert found.way == ("belt_off_again",)
    assert found.sequence == ("back: Belt off again",)
    walker, state = replay(bundle, found.way[:-1])
    at = [step["id"] for step in walker.steps].index(found.way[-1])
    assert walker.is_open(at, state)
    assert walker.broken_rules(at, state) == [1]


def test_a_rule_broken_deep_in_a_redo_is_found():
    bundle = van(
        "    asks: {battery: off, wheels: off}\n"
        "    does: [hands_in_drive, aux_pin=in, aux=off]\n    undo: yes",
        "    asks: {wheels: off}\n    does: [hands_in_drive, aux_pin=in, aux=off]\n    undo: yes",
    )
    found = [each for each in prove(bundle).findings if each.code == "rule-broken"]
    assert any(f.rule == "hands_in_live_drive" and f.way[-1] == "aux_off_again" for f in found)
    for each in found:
        walker, state = replay(bundle, each.way[:-1])
        at = [step["id"] for step in walker.steps].index(each.way[-1])
        assert walker.broken_rules(at, state)


def test_a_state_without_a_way_out_is_found():
    # Without the cocking on the bench, a tensioner taken off by its step stays sprung for ever.
    bundle = van(
        "tensioner: [off, new], tensioner_nut: [loose", "tensioner: new, tensioner_nut: [loose"
    )
    proof = prove(bundle)
    found = the_finding(proof, "dead-end")
    walker, state = replay(bundle, found.way)
    assert walker.way_to_the_end(state) is None
    assert found.hint.startswith(
        "There '25 Stud stands out 41.5, tensioner on' is next, and "
        "the shipping pin is pulled and the tensioner is alive."
    )


def test_a_step_that_is_never_open_is_found():
    proof = prove(tiny("asks: {lock: out}", "asks: {lock: out, belt: old}"))
    assert "'5 Timing proved'" in the_finding(proof, "never-open").message
    assert (
        "'5 Timing proved' is next, and the new belt is on" in the_finding(proof, "dead-end").hint
    )


def test_a_proof_that_outlives_what_it_rests_on_is_found():
    bundle = copy.deepcopy(tiny())
    undo = bundle["machine"]["steps"][5]
    undo["effect"] = [[c, v] for c, v in undo["effect"] if c != 4]  # timing no longer falls
    found = the_finding(prove(bundle), "stale-proof")
    assert found.message == (
        "the timing is proved, while two turns are not proved, on which it rests"
    )
    assert found.way[-1] == "belt_off_again"


def test_a_tool_that_stays_out_is_found():
    bundle = copy.deepcopy(tiny())
    bundle["machine"]["steps"][3]["tools_in"] = []
    bundle["steps"][3]["tools_in"] = []
    assert the_finding(prove(bundle), "tool-out").message == (
        "the crank pin goes out at '1 Pin in' and is out at the end"
    )


def test_a_tool_that_comes_back_and_was_never_out_is_found():
    bundle = tiny("    does: [lock=in]\n    tools_out: [l1]\n", "    does: [lock=in]\n")
    assert "goes back at '4 Two turns by hand'" in the_finding(prove(bundle), "tool-in").message


def test_tools_that_are_counted_while_one_is_out_are_found():
    counted = "- {name: teeth, kind: count, label: tools, target: 1, of: tools}"
    old = "- {name: teeth, kind: count, label: teeth, target: 72}"
    assert the_finding(prove(tiny(old, counted)), "tool-counted").message == (
        "'4 Two turns by hand' counts the tools while the crank pin is out"
    )


def test_a_walk_that_is_given_up_proves_nothing(the_van):
    proof = prove(the_van, most_states=500)
    assert not proof.is_proved
    assert [each.code for each in proof.findings] == ["too-many-states"]


def test_an_ask_that_is_passed_moves_the_engine_and_proves_nothing():
    own = (
        "rules:\n  sign_without_a_witness:\n"
        "    {kind: ask, never: Sign, doing: [timing=proved], unless: {belt: off}, because: No.}\n"
        "phases:\n"
    )
    bundle = tiny("phases:\n", own)
    proof = prove(bundle)
    # It is told as broken, and behind it the job still ends: waived, with the proof unproved.
    assert [each.code for each in proof.findings] == ["rule-broken"]
    found = the_finding(proof, "rule-broken")
    assert found.way == ("lock_in", "belt_off", "belt_on", "two_turns", "sign")
    packed = Packed(bundle["machine"])
    state = packed.start()
    for at in range(4):
        state = packed.done(state, at)
    waived = packed.passed(state, 4)
    assert packed.ended(waived) == [0]
    assert packed.value(waived, 4) == 0
    assert packed.value(packed.done(state, 4), 4) == 1


@pytest.mark.parametrize("text", [VAN, HATCH], ids=["van", "hatch"])
def test_a_proof_that_an_ask_may_leave_open_and_a_step_needs_is_a_dead_end(text):
    """
    The old belt that came off unphotographed: nobody can read it any more, and the sticker waited
    for that. The picture itself may be missing by a gap, so the pass is a branch all the same.
    """
    old = "    asks: {road: done}\n    does: [sticker=on"
    assert text.count(old) == 1
    source = text.replace(old, old.replace("done}", "done, old_belt_read: read}"))
    bundle = compile_source(source.encode(), {}).bundle
    found = the_finding(prove(bundle), "dead-end")
    assert "belt_off: passed" in found.way
    assert "the old belt is not read" in found.hint
    walker, state = replay(bundle, found.way)
    assert walker.way_to_the_end(state) is None


def test_what_an_interruption_leaves_must_lead_to_an_end():
    """A tensioner on the engine without its pin, half way: nothing took it off to cock it."""
    lax = "tensioner: [off, new], tensioner_nut"
    bundle = van(lax, "tensioner: [off, new], tensioner_pin: [in, out], tensioner_nut")
    found = the_finding(prove(bundle), "dead-end")
    assert found.message.startswith("after an interruption no end is reached from ")
    assert found.way[-1] == "tensioner_on: interrupted"
    assert found.sequence[-1].startswith(
        "25 Stud stands out 41.5, tensioner on: begun and left. A look finds: "
    )


def test_a_rule_that_only_an_interruption_breaks_is_found():
    """The belt off and the nut tight: only where the work was left half way."""
    source = TINY_SOURCE.replace(
        "leaves: {nut: tight}\n        look: [belt]", "leaves: {nut: tight, belt: old}"
    )
    source = source.replace(
        "phases:\n",
        "rules:\n  washed_while_tight:\n    {kind: stop, never: Wash while the nut is tight, "
        "doing: [wash], unless: {nut: loose}, because: It seizes.}\nphases:\n",
        1,
    )
    source = source.replace(
        "ends:\n",
        "  - id: wash\n    phase: on\n    title: Wash\n    act: Washed\n    says: [Wash.]\n"
        "    asks: {belt: off}\n    does: [wash, lock=out]\n    undo: yes\n"
        "    tools_in: [l1]\nends:\n",
        1,
    )
    bundle = compile_source(source.encode(), {}, TINY_RULES).bundle
    found = the_finding(prove(bundle), "rule-broken")
    assert found.rule == "washed_while_tight"
    assert found.way == ("belt_off_again: interrupted", "wash")
    assert "the nut is tight and the belt is off." in found.sequence[0]


def test_where_no_gap_helps_is_noted(proof_of_the_van):
    (note,) = [each for each in proof_of_the_van.notes if each.code == "no-gap"]
    numbers = note.message.removeprefix("no gap can be accepted at ").replace(" and", ",")
    assert {"2", "33"} <= set(numbers.split(", "))
    assert not {"17", "45", "46"} & set(numbers.split(", "))


def test_a_stop_that_is_broken_is_never_passed():
    own = (
        "rules:\n  never_sign:\n"
        "    {kind: stop, never: Sign, doing: [timing=proved], because: No.}\nphases:\n"
    )
    proof = prove(tiny("phases:\n", own))
    assert [each.code for each in proof.findings] == ["rule-broken"]


def test_what_cannot_be_done_again_is_noted_with_its_place(proof_of_the_van):
    notes = {each.message: each.hint for each in proof_of_the_van.notes if each.code == "once"}
    assert (
        "'17 Photograph the drive as found' cannot be done again after "
        "'18 Wheel bolts loose, tensioner slack'" in notes
    )
    assert all(hint.startswith("It is marked once") for hint in notes.values())
    unmarked = van(
        "hint: Square on and sharp to its edges.}\n    once: yes\n",
        "hint: Square on and sharp to its edges.}\n",
    )
    hints = [
        each.hint
        for each in prove(unmarked).notes
        if each.code == "once" and "17 Photo" in each.message
    ]
    assert hints == ["Mark it 'once: yes', or add a way back to it."]


# A failure and the same step again.


def failing(leaves):
    """The tiny procedure with a way to lay the belt on that fails and leaves this."""
    flange = (
        "    flange:\n      label: flange\n"
        "      values: {whole: the flange is whole, bent: the flange is bent}\n"
    )
    source = TINY_SOURCE.replace("  proof:\n    turns:", f"{flange}  proof:\n    turns:")
    source = source.replace(
        "    proof:\n      - {name: whole_drive",
        f"    fails:\n      - {{id: bent, says: It bent., then: Stop., leaves: {leaves}}}\n"
        "    proof:\n      - {name: whole_drive",
    )
    return compile_source(source.encode(), {}, TINY_RULES).bundle


def test_a_failure_that_leaves_things_as_they_were_or_half_done_is_noted():
    proof = prove(tiny())
    (note,) = [each for each in proof.notes if each.code == "same-again"]
    assert note.message == "'2 Belt off' comes again after it failed: The nut does not move"
    assert note.sequence[-1].startswith("2 Belt off: The nut does not move. A look finds: the ")
    for leaves in ("{belt: off, nut: loose}", "{belt: off, nut: tight}"):
        proof = prove(failing(leaves))
        assert "same-again" not in [each.code for each in proof.findings], leaves


def test_a_failure_that_left_something_new_and_the_same_step_again_is_found():
    found = the_finding(prove(failing("{belt: off, nut: loose, flange: bent}")), "same-again")
    assert found.message == (
        "'3 New belt on' comes again after it failed (It bent), though the flange is bent"
    )
    assert found.way[-1] == "belt_on: bent"
    assert found.sequence[-1] == "3 New belt on: It bent."


# Moves, the straight job, what never comes about.


def codes(proof):
    return [each.code for each in proof.findings]


def test_a_move_that_is_not_legal_where_all_needs_hold_is_found():
    source = TINY_SOURCE.replace(
        "        new: the new belt is on\n",
        "        new: the new belt is on\n        torn: the new belt is torn\n",
    )
    source = source.replace("    off: [old, new]\n", "    off: [old, new, torn]\n")
    source = source.replace(
        "    tools_in: [l1]\n",
        "    tools_in: [l1]\n    fails:\n"
        "      - {id: torn, says: It tore., then: Stop., leaves: {lock: in, belt: torn}}\n",
    )
    silent = compile_source(source.encode(), {}, TINY_RULES).bundle
    assert codes(prove(silent)) == []
    source = source.replace("asks: {lock: in, belt: off}", "asks: {lock: in}")
    found = the_finding(
        prove(compile_source(source.encode(), {}, TINY_RULES).bundle), "illegal-move"
    )
    assert "'3 New belt on' has all it asks for" in found.message
    assert found.message.endswith("the new belt is torn")
    assert found.way[-1] == "two_turns: torn"
    assert found.sequence[-1] == "4 Two turns by hand: It tore."


def test_a_step_that_only_a_way_back_opens_is_not_straight():
    lamp = (
        "    lamp:\n      label: lamp\n      values: {off: the lamp is off, on: the lamp is on}\n"
    )
    lamp_on = (
        "\n  - id: lamp_on\n    phase: on\n    title: Lamp on\n    act: Lamp is on\n"
        "    says: [Switch it on.]\n    does: [lamp=on]\n    undo: yes\n\nends:\n"
    )
    source = TINY_SOURCE.replace("  proof:\n    turns:", f"{lamp}  proof:\n    turns:")
    source = source.replace("\nends:\n", lamp_on)
    bundle = compile_source(source.encode(), {}, TINY_RULES).bundle
    assert codes(prove(bundle)) == []
    source = source.replace("    asks: {lock: out}", "    asks: {lock: out, lamp: on}")
    found = the_finding(
        prove(compile_source(source.encode(), {}, TINY_RULES).bundle), "not-straight"
    )
    assert found.message == "'5 Timing proved' is not open in its turn"
    assert found.hint.startswith("In its way stands that the lamp is off.")
    assert found.way == ("lock_in", "belt_off", "belt_on", "two_turns")


def test_steps_that_are_never_open_for_one_cause_are_told_under_it():
    """The old belt only comes off where the new one is on: no belt is ever changed."""
    proof = prove(tiny("    asks: {lock: in}\n", "    asks: {lock: in, belt: new}\n"))
    found = the_finding(proof, "never-open")
    assert "'2 Belt off' is never open" in found.message
    assert "3 more steps are never open for want of it: 3, 4 and 5." in found.hint


def test_a_listed_order_that_misses_its_end_is_found():
    proof = prove(tiny("    conditions: {lock: out}", "    conditions: {lock: out, nut: loose}"))
    found = the_finding(proof, "not-straight")
    assert (found.message, len(found.way)) == ("the listed order does not finish the job", 5)
    assert "that the nut is tight" in found.hint


def test_a_value_that_nothing_leaves_is_found():
    new = "        loose: the nut is loose\n        torn: the nut is torn\n"
    proof = prove(tiny("        loose: the nut is loose\n", new))
    assert the_finding(proof, "never-left").message == "it never comes about that the nut is torn"
    source = TINY_SOURCE.replace("        loose: the nut is loose\n", new)
    source = source.replace("        leaves: {nut: tight}", "        leaves: {nut: torn}")
    source = source.replace("tight}\n    does: [lock=out", "tight}\n    does: [lock=out")
    left = prove(compile_source(source.encode(), {}, TINY_RULES).bundle)
    assert "never-left" not in codes(left)


# A verdict that a failure finds out, and an end for it.

VERDICT = [
    (
        "    lock:\n      label: crank pin\n",
        "    verdict:\n      label: verdict\n      values: {open: it goes on, stop: it ends here}\n"
        "    lock:\n      label: crank pin\n",
    ),
    (
        "    asks: {lock: in}\n    does: [nut=loose, belt=off]\n",
        "    asks: {lock: in, verdict: open}\n    does: [nut=loose, belt=off]\n",
    ),
    ("        leaves: {nut: tight}\n", "        leaves: {nut: tight, verdict: stop}\n"),
    (
        "    does: [lock=in, nut=loose, belt=off]\n",
        "    asks: {verdict: open}\n    does: [lock=in, nut=loose, belt=off]\n",
    ),
]
ENDS = """\
    conditions: {lock: out, verdict: open}
  given_up:
    name: Given up
    conditions: {%s}
"""


@pytest.mark.parametrize(
    ("asks", "is_right"),
    [("verdict: stop", True), ("verdict: [open, stop]", False), ("nut: tight", False)],
)
def test_an_end_is_right_when_it_asks_for_what_only_a_failure_leaves(asks, is_right):
    source = TINY_SOURCE
    for old, new in [*VERDICT, ("    conditions: {lock: out}\n", ENDS % asks)]:
        assert source.count(old) == 1
        source = source.replace(old, new)
    proof = prove(compile_source(source.encode(), {}, TINY_RULES).bundle)
    # A verdict that nothing takes back: without a right end for it that is a dead end.
    assert codes(proof) == ([] if is_right else ["dead-end"])


# Stale proofs: what a rule asks for before a proof has to hold as long as the proof.


def proof_of_source(text, rules=None):
    return prove_compiled(compile_source(text.encode(), {}, rules))


def van_source(old, new):
    assert VAN.count(old) == 1, old
    return VAN.replace(old, new)


VOIDS = {
    "nut loosened": ("  tensioner_nut=loose: tension\n", "", "the tensioner nut is loose"),
    "slot bolts loosened": ("  cam_bolts=loose: tension\n", "", "slot bolts"),
    "pump loosened": ("  pump=new: leak\n", "", "its bolts not yet tight"),
    "cap opened": ("  cap=open: leak\n", "", "the coolant cap is open"),
}


@pytest.mark.parametrize("void", VOIDS)
def test_a_proof_that_outlives_what_a_rule_asked_for_is_found(void):
    old, new, says = VOIDS[void]
    stale = [f for f in proof_of_source(van_source(old, new)).findings if f.code == "stale-proof"]
    assert any(says in each.message for each in stale), stale
    assert all(each.way and each.rule for each in stale)
    if void == "nut loosened":
        by = [each for each in stale if each.message.startswith("two turns by hand are proved")]
        assert by[0].sequence[-1] == "back: Tensioner slack again"
        assert by[0].hint == "Write under voids that 'tensioner_nut=loose' takes it away."


def test_what_the_straight_job_moves_on_from_is_not_asked_for_any_longer(proof_of_the_van):
    # The tension is set with the nut by hand, and the nut is tight from the next step on.
    assert proof_of_the_van.findings == ()


# The house rules: asked, broken, silent.


def test_the_rules_that_hold_are_counted(the_van, proof_of_the_van):
    assert len(proof_of_the_van.rules_proven) == len(the_van["rules"]) >= 50
    broken = prove(tiny("    does: [lock=in, nut=loose, belt=off]\n", "    does: [belt=off]\n"))
    assert broken.rules_proven == ("crank_turned_against_a_lock",)
    assert prove(the_van, most_states=500).rules_proven == ()


def test_a_rule_that_is_not_asked_where_there_is_occasion_is_found():
    found = the_finding(proof_of_source(TINY_SOURCE, TINY_RULES), "rule-silent")
    assert (found.rule, "no high_voltage" in found.message) == ("hybrid_still_live", True)
    reason = "absent: {high_voltage: A diesel drives alone.}\nphases:\n"
    proof = proof_of_source(TINY_SOURCE.replace("phases:\n", reason), TINY_RULES)
    assert proof.findings == ()
    (note,) = [each for each in proof.notes if each.code == "absent"]
    assert note.message == "'high_voltage' is absent: A diesel drives alone."
    assert "hybrid_still_live" in note.hint


def test_a_value_that_the_rules_name_otherwise_is_found():
    # Written 'fresh', the belt slips past the rule that speaks of 'new'.
    rule = Rule("no_new", "stop", "Lay it on", ("belt=new",), (("lock", ("in",)),), "It slips.")
    turning = Rule("no_pin", "stop", "Turn", ("turn_crank",), (("lock", ("out",)),), "It bends.")
    assert codes(proof_of_source(TINY_SOURCE, [turning, rule])) == []
    renamed = TINY_SOURCE.replace("belt: new", "belt: fresh").replace("belt=new", "belt=fresh")
    renamed = renamed.replace("    new: off\n", "    fresh: off\n").replace(
        "old, new]", "old, fresh]"
    )
    renamed = renamed.replace("        new: the new belt", "        fresh: the new belt")
    assert codes(proof_of_source(renamed, [turning, rule])) == ["rule-silent"]


def test_a_rule_about_what_is_never_done_is_noted():
    rule = Rule("no_spray", "stop", "Spray", ("spray_at_belt",), (("lock", ("in",)),), "It swells.")
    proof = proof_of_source(TINY_SOURCE, [*TINY_RULES[:2], rule])
    assert proof.findings == ()
    (note,) = [each for each in proof.notes if each.code == "never-done"]
    assert "spray_at_belt" in note.message
    assert "no_spray" in note.hint


def test_a_procedures_own_rule_is_told_with_its_line():
    own = (
        "rules:\n  sign_without_a_witness:\n"
        "    {kind: stop, never: Sign, doing: [timing=proved], unless: {belt: off}, because: No.}\n"
        "phases:\n"
    )
    source = TINY_SOURCE.replace("phases:\n", own)
    found = the_finding(proof_of_source(source, TINY_RULES[:2]), "rule-broken")
    assert source.splitlines()[found.line - 1] == "  - id: sign"


# Fasteners.


def test_a_fastener_that_may_be_loose_at_the_end_is_found():
    nut = "        tight: the nut is tight\n        loose: the nut is loose\n"
    renamed = TINY_SOURCE.replace(nut, nut.replace("tight:", "torqued:"))
    renamed = renamed.replace("nut=tight", "nut=torqued").replace("nut: tight", "nut: torqued")
    renamed = renamed.replace("    does: [belt=new,", "    torque: {nm: 26}\n    does: [belt=new,")
    bundle = compile_source(renamed.encode(), {}, TINY_RULES).bundle
    assert "left-loose" not in codes(prove(bundle)), "the order tightens it"
    forgotten = renamed.replace("does: [belt=new, nut=torqued]", "does: [belt=new]")
    forgotten = forgotten.replace("asks: {belt: new, nut: torqued}", "asks: {belt: new}")
    bundle = compile_source(forgotten.encode(), {}, TINY_RULES).bundle
    found = the_finding(prove(bundle), "left-loose")
    assert found.message == "the job can end while the nut is loose"
    assert found.way == ("lock_in", "belt_off", "belt_on", "two_turns", "sign")


# Lines, and the classic blunders: made in the van's source, each is found with a sequence.


def test_findings_stand_at_the_line_of_their_step():
    source = TINY_SOURCE.replace("asks: {lock: out}", "asks: {lock: out, belt: old}")
    found = the_finding(proof_of_source(source, TINY_RULES[:2]), "never-open")
    assert source.splitlines()[found.line - 1] == "  - id: sign"


BLUNDERS = {
    "pins left in": (
        "does: [hands_in_drive, counterhold=off, crank_lock=out, cam_lock=out, pump_lock=out]",
        "does: [hands_in_drive, counterhold=off]",
    ),
    "flywheel lock left in": ("damper=final, fly_lock=out]", "damper=final]"),
    "slot bolts never tightened": (
        "does: [hands_in_drive, counterhold=fitted, cam_bolts=torqued]",
        "does: [hands_in_drive, counterhold=fitted]",
    ),
    "tensioner nut never tightened": (
        "does: [hands_in_drive, tensioner_nut=torqued]",
        "does: [hands_in_drive]",
    ),
    "two turns left out": ("crank_at=marks, turns=two]", "crank_at=marks]"),
    "stud not measured": ("stud_seat=measured, tensioner=new", "tensioner=new"),
    "tool count left out": (
        "does: [tools=complete, clear=clear, battery=on]",
        "does: [clear=clear, battery=on]",
    ),
    "no coolant": (
        "coolant_kind=right, drain=closed, coolant=filled",
        "coolant_kind=right, drain=closed",
    ),
    "cap opened hot": ("does: [temp=cold, cap=open]", "does: [cap=open]"),
    "old damper bolt": ("fly_lock=in, damper_bolt=new, damper=final", "fly_lock=in, damper=final"),
    "mount left off": ("mount_bolts=new, mount=final, prop=off]", "mount_bolts=new, prop=off]"),
    "no photo of the drive": (
        "pump_lock=out, drive_photo=taken, drive_tools",
        "pump_lock=out, drive_tools",
    ),
}


@pytest.mark.parametrize("blunder", BLUNDERS)
def test_a_classic_blunder_in_the_source_is_found_with_a_sequence(blunder):
    old, new = BLUNDERS[blunder]
    # Compiling refuses a look at coolant that the step no longer touches: not what is tried here.
    source = van_source(old, new).replace(
        "belt: spoiled, drain: closed, tray: none}\n        look: [coolant]\n",
        "belt: spoiled, drain: closed, tray: none, coolant: drained}\n",
    )
    proof = proof_of_source(source)
    told = [each for each in proof.findings if each.sequence]
    assert told, codes(proof)
    assert all(len(each.sequence) == len(each.way) for each in told)
    # In words: the number and title of a step, never its name.
    assert all(
        words.partition(" ")[0].isdigit() or words.startswith("back: ")
        for each in told
        for words in each.sequence
    )


def test_the_made_up_machine_of_the_bench_can_be_proven():
    """Each bolt is tight or loose, whatever the others are: with n of them 2 to the power of n."""
    proof = prove(bundle_of_bolts(6))
    assert (proof.states, proof.findings) == (2**6, ())
