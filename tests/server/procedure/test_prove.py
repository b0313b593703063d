"""The prover finds each fault that is planted, tells a shortest way to it, and finds no other."""

import copy
from pathlib import Path

import pytest

from procedure_walk import Walker
from tiny_procedure import TINY_RULES, TINY_SOURCE
from twoturns.procedure.compile import compile_source
from twoturns.procedure.house import SilentRule
from twoturns.procedure.packed import Packed
from twoturns.procedure.prove import prove

FOLDER = Path(__file__).parents[3] / "demo_jobs" / "van-timing-drive"
VAN = (FOLDER / "procedure.yaml").read_text()


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
    return prove(the_van)


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
        if failure:
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
    assert proof_of_the_van.states == len(states_of(Walker(the_van["machine"])))


def states_of(walker):
    """All states, by the walker that shares no code with the prover."""
    seen = {walker.start()}
    ways = list(seen)
    while ways:
        state = ways.pop()
        for at in walker.opened(state):
            reached = [walker.done(at, state)]
            for failure in walker.steps[at]["fails"]:
                reached += walker.failed(at, failure, state)
            new = set(reached) - seen
            seen |= new
            ways.extend(new)
    return seen


def test_a_rule_that_needs_do_not_keep_is_found_with_a_shortest_way():
    bundle = tiny(
        "    needs: {lock: in}\n    does: [nut=loose, belt=off]", "    does: [nut=loose, belt=off]"
    )
    proof = prove(bundle)
    assert proof.is_proved, "the listed order keeps the rule here: the pin is in by then"
    bundle = tiny("    does: [lock=in, nut=loose, belt=off]\n", "    does: [nut=loose, belt=off]\n")
    found = the_finding(prove(bundle), "rule-broken")
    assert "belt_off_under_tension" in found.message
    assert found.way == ("belt_off_again",)
    walker, state = replay(bundle, found.way[:-1])
    at = [step["id"] for step in walker.steps].index(found.way[-1])
    assert walker.is_open(at, state)
    assert walker.broken_rules(at, state) == [1]


def test_a_rule_broken_deep_in_a_redo_is_found():
    bundle = van(
        "    needs: {battery: off, wheels: off}\n"
        "    does: [hands_in_drive, aux_pin=in, aux=off]\n    undo: yes",
        "    needs: {wheels: off}\n    does: [hands_in_drive, aux_pin=in, aux=off]\n    undo: yes",
    )
    found = [each for each in prove(bundle).findings if each.code == "rule-broken"]
    assert any(
        "'aux_off_again' can break the rule 'hands_in_live_drive'" in f.message for f in found
    )
    for each in found:
        walker, state = replay(bundle, each.way[:-1])
        at = [step["id"] for step in walker.steps].index(each.way[-1])
        assert walker.broken_rules(at, state)


def test_a_state_without_a_way_out_is_found():
    # Without the cocking on the bench, a tensioner taken off by its step stays sprung for ever.
    bundle = van("tensioner: [off, new], tensioner_pin: [in, out], ", "tensioner: new, ")
    proof = prove(bundle)
    found = the_finding(proof, "dead-end")
    walker, state = replay(bundle, found.way)
    assert walker.way_to_the_end(state) is None
    assert "'tensioner_on' is next and in its way stands tensioner_pin=out" in found.hint


def test_a_step_that_is_never_open_is_found():
    proof = prove(tiny("needs: {lock: out}", "needs: {lock: out, belt: old}"))
    assert "'sign'" in the_finding(proof, "never-open").message
    assert "'sign' is next" in the_finding(proof, "dead-end").hint


def test_a_proof_that_outlives_what_it_rests_on_is_found():
    bundle = copy.deepcopy(tiny())
    undo = bundle["machine"]["steps"][5]
    undo["effect"] = [[c, v] for c, v in undo["effect"] if c != 4]  # timing no longer falls
    found = the_finding(prove(bundle), "stale-proof")
    assert "'timing' holds while 'turns'" in found.message
    assert found.way[-1] == "belt_off_again"


def test_a_tool_that_stays_out_is_found():
    bundle = copy.deepcopy(tiny())
    bundle["machine"]["steps"][3]["tools_in"] = []
    assert "'l1' goes out at 'lock_in'" in the_finding(prove(bundle), "tool-out").message


def test_a_walk_that_is_given_up_proves_nothing(the_van):
    proof = prove(the_van, most_states=500)
    assert not proof.is_proved
    assert [each.code for each in proof.findings] == ["too-many-states"]


def test_an_ask_that_is_passed_moves_the_engine_and_proves_nothing():
    own = (
        "rules:\n  sign_without_a_witness:\n"
        "    {kind: ask, never: Sign, on: [timing=proved], unless: {belt: off}, because: No.}\n"
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


def test_a_stop_that_is_broken_is_never_passed():
    own = (
        "rules:\n  never_sign:\n"
        "    {kind: stop, never: Sign, on: [timing=proved], because: No.}\nphases:\n"
    )
    proof = prove(tiny("phases:\n", own))
    assert [each.code for each in proof.findings] == ["rule-broken"]


def test_what_cannot_be_done_again_is_noted_with_its_place(proof_of_the_van):
    notes = {each.message: each.hint for each in proof_of_the_van.notes if each.code == "once"}
    assert "'photograph_as_found' cannot be done again after 'belt_off'" in notes
    assert all(hint.startswith("It is marked once") for hint in notes.values())
    unmarked = van(
        "      - {name: old_pointer, kind: photo, label: pointer and notch}\n    once: yes\n",
        "      - {name: old_pointer, kind: photo, label: pointer and notch}\n",
    )
    hints = [each.hint for each in prove(unmarked).notes if "photograph_as_found" in each.message]
    assert hints == ["Mark it 'once: yes', or add a way back to it."]


def test_a_failure_that_leads_back_to_its_own_step_is_noted():
    notes = [each.message for each in prove(tiny()).notes if each.code == "same-again"]
    assert notes == ["after 'nut_seized' of 'belt_off' the same step comes again"]


def test_a_move_that_needs_do_not_mention_is_noted():
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
    assert [each for each in prove(silent).notes if each.code == "blocked-move"] == []
    source = source.replace("needs: {lock: in, belt: off}", "needs: {lock: in}")
    bundle = compile_source(source.encode(), {}, TINY_RULES).bundle
    (note,) = [each for each in prove(bundle).notes if each.code == "blocked-move"]
    assert "'belt_on'" in note.message
    assert note.way[-1] == "two_turns: torn"


@pytest.mark.parametrize(("wholly", "says"), [(True, "is silent"), (False, "in part only")])
def test_a_silent_rule_is_noted(wholly, says):
    notes = prove(tiny(), [SilentRule("a_rule", wholly, ("some_condition",))]).notes
    (note,) = [each for each in notes if each.code == "rule-silent"]
    assert says in note.message
    assert "some_condition" in note.message
