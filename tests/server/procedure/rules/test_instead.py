"""
Makers' own orders: what our review of the trade found refused can be written, is proved, and a
breach of what holds in a rule's place is found. Documents, makers and figures are invented; that
makers ask for such orders is common practice, no source.
"""

# ruff: noqa: E501 - lines of a source stand as they are written

import json
import re
from dataclasses import replace

import pytest

from demo_procedures import VAN, rules_broken_in_order, text_of, without_needs_and_failures
from planted import changed
from tiny_procedure import TINY_RULES, TINY_SOURCE
from twoturns.bag.tell import taken_otherwise
from twoturns.procedure import shape
from twoturns.procedure.compile import bundle as reader
from twoturns.procedure.compile.bundle import canonical, check_bundle
from twoturns.procedure.compile.compiler import compile_source
from twoturns.procedure.compile.form import schema_of
from twoturns.procedure.errors import BundleError, NewerForm, SourceErrors
from twoturns.procedure.prove.prove import prove_compiled
from twoturns.procedure.rules.house import house_rules

pytestmark = pytest.mark.slow(10)

SOURCE = "{document: Ombral work leaflet 21-07, edition: 2, page: page 12, date: 2025-03-01}"


def otherwise(
    rule, never, unless, because="The camshaft slips, and valves meet pistons.", says="So."
):
    return (
        f"  {rule}:\n    says: {says}\n    never: {never}\n    unless: {unless}\n"
        f"    because: {because}\n    why: Its wheels settle only without the locks.\n"
        f"    source: {SOURCE}\n"
    )


def with_words(text, *written):
    return changed(text, ("\nphases:\n", "\ninstead:\n" + "".join(written) + "\nphases:\n"))


def steps_of(text, first, second):
    """The text with the step `second` before the step `first` that it follows."""
    parts = re.split(r"(?=\n  - id: )", text)
    at = next(i for i, part in enumerate(parts) if part.startswith(f"\n  - id: {first}\n"))
    other = next(i for i, part in enumerate(parts) if part.startswith(f"\n  - id: {second}\n"))
    assert other == at + 1
    # A heading of the next phase stands at the end of the step before it.
    parts[at], parts[other] = parts[other].rstrip() + "\n", parts[at].split("\n  # ")[0] + "\n"
    return "".join(parts)


# Locks out before the wheel bolts: they are tightened with the counter-hold alone.
LOCKS_OUT = otherwise(
    "locks_out_too_early",
    "Draw a pin while the tensioner is loose or the belt is off",
    "{tensioner_nut: torqued, belt: [old, new]}",
    says="The pins come out before the slot bolts are tightened.",
)


PINS_OUT_AGAIN = """  - id: pins_out_again
    phase: prove
    title: Pins out again
    act: Three pins in the hand
    says: ['L3, L2, L1 out, each by hand.']
    asks: {battery: off, covers: off, belt: new, tension: set, tensioner_nut: torqued, crank_lock: in}
    does: [hands_in_drive, pump_lock=out, cam_lock=out, crank_lock=out]
    undo: yes
    tools_in: [l1, l2, l3]

"""


def locks_out_first(text):
    text = steps_of(text, "tighten_slots", "pins_out")
    return changed(
        text,
        ("  - id: nut_to_hand\n", PINS_OUT_AGAIN + "  - id: nut_to_hand\n"),
        (
            "  - id: tighten_slots\n    number: 29\n    phase: belt\n",
            "  - id: tighten_slots\n    number: 29\n    phase: prove\n",
        ),
        (
            "tensioner_pin: out, tensioner_nut: torqued, cam_bolts: torqued}\n    does: [hands_in_drive, counterhold=off, ",
            "tensioner_pin: out, tensioner_nut: torqued, cam_bolts: loose}\n    does: [hands_in_drive, ",
        ),
        ("    tools_in: [l1, l2, l3, counter_hold]\n", "    tools_in: [l1, l2, l3]\n"),
        (
            "        leaves: {counterhold: off, crank_lock: in, cam_lock: in, pump_lock: in, tension: unproved}\n",
            "        leaves: {crank_lock: in, cam_lock: in, pump_lock: in, tension: unproved}\n",
        ),
        (
            "tensioner_nut: torqued, crank_lock: in, cam_lock: in, pump_lock: in}\n    does: [hands_in_drive, counterhold=fitted, cam_bolts=torqued]\n    tools_out: [counter_hold, torque_wrench]\n    tools_in: [torque_wrench]",
            "tensioner_nut: torqued}\n    does: [hands_in_drive, counterhold=fitted, cam_bolts=torqued, counterhold=off]\n    tools_out: [counter_hold, torque_wrench]\n    tools_in: [counter_hold, torque_wrench]",
        ),
    )


@pytest.fixture(scope="module")
def van_locks_out():
    return with_words(locks_out_first(text_of(VAN)), LOCKS_OUT)


def test_a_maker_may_have_the_locks_out_before_the_wheel_bolts(van_locks_out):
    proof = prove_compiled(compile_source(van_locks_out.encode(), {}))
    assert [found.message for found in proof.findings] == []


def test_a_breach_of_what_holds_in_the_rules_place_is_found(van_locks_out):
    planted = changed(
        without_needs_and_failures(van_locks_out),
        ("    does: [hands_in_drive, tensioner_nut=torqued]\n", "    does: [hands_in_drive]\n"),
    )
    broken = rules_broken_in_order(compile_source(planted.encode(), {}).bundle)
    assert ("pins_out", "locks_out_too_early") in broken


# The wheel bolts at their first stage for the two turns, and a turn back to take up the slack.
FIRST_STAGE = (
    otherwise(
        "locks_out_too_early",
        "Draw a pin while a slot bolt does not hold at its first stage",
        "{tensioner_nut: torqued, cam_bolts: [first, torqued], belt: [old, new]}",
    ),
    otherwise(
        "crank_turned_loose",
        "Turn the crankshaft while a slot bolt does not hold at its first stage",
        "{tensioner_nut: torqued, cam_bolts: [first, torqued]}",
    ),
    otherwise(
        "turned_before_tight",
        "Take the two turns with a pin in, or with a slot bolt below its first stage",
        "{crank_lock: out, cam_lock: out, pump_lock: out, fly_lock: out, tensioner_nut: torqued, "
        "cam_bolts: [first, torqued], belt: new}",
    ),
    otherwise(
        "crank_turned_back",
        "Turn the crankshaft back but with the new belt on and tight",
        "{belt: new, tensioner_nut: torqued, tensioner_pin: out}",
        says="After the two turns the crankshaft is turned back by half a tooth.",
    ),
)
SLOTS_PROVED = """    slots_first:
      label: first stage
      values: {unproved: the slot bolts are not proved at their first stage, held: they hold at their first stage}
    slots_last:
      label: last stage
      values: {unproved: the slot bolts are not proved at their last stage, held: they hold at their last stage}
"""
PINS_OUT_AND_COUNTERHOLD_OFF = changed(
    PINS_OUT_AGAIN,
    ("does: [hands_in_drive, ", "does: [hands_in_drive, counterhold=off, "),
    ("crank_lock: in}", "cam_bolts: [first, torqued]}"),
    ("[l1, l2, l3]", "[l1, l2, l3, counter_hold]"),
)
SLOTS_FINAL = """  - id: slots_final
    number: 32a
    phase: prove
    title: Slot bolts to their last stage
    act: Clicked at 23
    says: [Counter-hold takes the torque. Three bolts to 23 N·m.]
    asks: {battery: off, covers: off, belt: new, tension: set, tensioner_nut: torqued, turns: two, crank_lock: in}
    does: [hands_in_drive, counterhold=fitted, cam_bolts=torqued, counterhold=off, slots_last=held]
    torque: {nm: 23}
    tools_out: [counter_hold, torque_wrench]
    tools_in: [counter_hold, torque_wrench]
    proof:
      - {name: last_stage, kind: reading, label: slot bolts, unit: N·m, low: 22, high: 24, tool: torque_wrench}

"""


def first_stage(text):
    text = changed(
        text,
        (
            "        loose: the slot bolts are loose\n",
            "        loose: the slot bolts are loose\n        first: the three slot bolts hold at their first stage\n",
        ),
        (
            "  cam_bolts: {loose: torqued, torqued: loose}\n",
            "  cam_bolts: {loose: [torqued, first], first: loose, torqued: first}\n",
        ),
        (
            "    does: [hands_in_drive, counterhold=fitted, cam_bolts=torqued]\n",
            "    does: [hands_in_drive, counterhold=fitted, cam_bolts=first, slots_first=held]\n",
        ),
        ("    turns:\n", SLOTS_PROVED + "    turns:\n"),
        ("  cam_bolts=loose: tension\n", "  cam_bolts=loose: [tension, slots_first, slots_last]\n"),
        ("  turns: tension\n", "  turns: [tension, slots_first]\n  slots_last: slots_first\n"),
        ("  timing: [pins_re_enter, ", "  timing: [slots_last, pins_re_enter, "),
        ("two_turns, crank_at=anywhere,", "two_turns, turn_crank_back, crank_at=anywhere,"),
        (
            "cam_bolts: torqued, shafts: in_step}\n    does: [hands_in_drive, turn_crank, crank_at",
            "cam_bolts: [first, torqued], shafts: in_step}\n"
            "    does: [hands_in_drive, turn_crank, crank_at",
        ),
        (
            "cam_bolts: torqued, valves: touching, ",
            "cam_bolts: [first, torqued], valves: touching, ",
        ),
        ("  - id: prove_timing\n", SLOTS_FINAL + "  - id: prove_timing\n"),
        ("  - id: nut_to_hand\n", PINS_OUT_AND_COUNTERHOLD_OFF + "  - id: nut_to_hand\n"),
    )
    # From the pins out to the pins in again the bolts stand at their first stage.
    first, last = text.index("  - id: pins_out\n"), text.index("  - id: slots_final\n")
    between = text[first:last].replace("cam_bolts: torqued", "cam_bolts: [first, torqued]")
    return text[:first] + between + text[last:]


@pytest.fixture(scope="module")
def van_first_stage():
    return with_words(first_stage(text_of(VAN)), *FIRST_STAGE)


def test_a_maker_may_have_first_stage_bolts_for_the_turns_and_a_turn_back(van_first_stage):
    proof = prove_compiled(compile_source(van_first_stage.encode(), {}))
    assert [found.message for found in proof.findings] == []


@pytest.mark.parametrize(
    ("old", "new", "broken"),
    [
        ("cam_bolts=first, slots", "slots", ("pins_out", "locks_out_too_early")),
        ("cam_bolts=first, slots", "slots", ("two_turns", "crank_turned_loose")),
        ("cam_bolts=first, slots", "slots", ("two_turns", "turned_before_tight")),
        ("tensioner_pin=out, tension=set]", "tension=set]", ("two_turns", "crank_turned_back")),
    ],
)
def test_a_breach_of_each_of_them_is_found(van_first_stage, old, new, broken):
    planted = changed(without_needs_and_failures(van_first_stage), (old, new))
    assert broken in rules_broken_in_order(compile_source(planted.encode(), {}).bundle)


# A pit, ramps, stands or a driveway in a lift's place: no maker's word is needed for those.


@pytest.mark.parametrize("carried", ["pit", "ramps", "stands"])
def test_work_under_a_van_over_a_pit_on_ramps_or_on_stands_keeps_the_rules(carried):
    text = text_of(VAN).replace(
        f"  support={carried}: The van goes on the lift.", "  support=lift: It"
    )
    text = text.replace("lift_locked", carried).replace("support=lift:", "support=lift_locked:")
    source = without_needs_and_failures(text)
    assert rules_broken_in_order(compile_source(source.encode(), {}).bundle) == set()


def test_a_driveway_may_be_the_place_and_one_not_judged_may_not():
    text = text_of(VAN).replace("        bay: the van", "        driveway: the van")
    text = text.replace("site=bay", "site=driveway").replace("site: bay", "site: driveway")
    source = without_needs_and_failures(text)
    assert rules_broken_in_order(compile_source(source.encode(), {}).bundle) == set()
    planted = changed(source, ("does: [site=driveway, ", "does: ["))
    broken = rules_broken_in_order(compile_source(planted.encode(), {}).bundle)
    assert ("aux_off", "roadside_not_safe") in broken


def test_nobody_works_under_a_van_on_a_jack():
    text = changed(
        without_needs_and_failures(text_of(VAN)),
        (
            "        lift_locked: the van",
            "        jack: the van hangs on a jack\n        lift_locked: the van",
        ),
        ("support: {lift_locked: on_wheels,", "support: {jack: on_wheels, lift_locked: on_wheels,"),
    ).replace("does: [support=lift_locked]", "does: [support=jack]", 1)
    broken = rules_broken_in_order(compile_source(text.encode(), {}).bundle)
    assert ("wheel_off", "work_under_unsupported") in broken


# What is refused


def the_problem(text, **more):
    with pytest.raises(SourceErrors) as caught:
        compile_source(text.encode(), {}, **more)
    (found,) = caught.value.problems
    return found


@pytest.mark.parametrize("rule", [rule for rule in house_rules() if not rule.adaptable], ids=str)
def test_some_rules_are_nobodys_to_adapt(rule):
    word = otherwise(rule.id, "Do it in an order of its own", "{belt: [old, new]}")
    found = the_problem(with_words(text_of(VAN), word))
    assert found.code == "rule-fixed"
    assert rule.never in found.message


def test_they_are_the_failed_belt_the_lock_and_the_vehicle_that_nothing_carries():
    fixed = {rule.id for rule in house_rules() if not rule.adaptable}
    assert fixed == {
        "turned_on_a_failed_belt",
        "started_on_touched_valves",
        "crank_turned_against_a_lock",
        "started_with_a_lock_in",
        "work_under_unsupported",
    }


def test_no_word_switches_a_rule_off():
    nothing = otherwise("locks_out_too_early", "Draw a pin", "{fly_lock: [in, out]}")
    assert the_problem(with_words(text_of(VAN), nothing)).code == "no-rule"
    text = with_words(text_of(VAN), otherwise("locks_out_too_early", "Draw a pin", "{}"))
    assert the_problem(text).code == "empty"


def test_a_word_for_a_rule_that_is_none_is_refused_with_the_nearest():
    found = the_problem(with_words(text_of(VAN), otherwise("locks_out_early", "No", "{belt: old}")))
    assert (found.code, "locks_out_too_early" in found.hint) == ("unknown", True)


def test_a_word_about_what_is_never_done_is_refused():
    word = otherwise("solvent_on_belt", "Spray at it while it is on", "{belt: off}")
    assert the_problem(with_words(text_of(VAN), word)).code == "instead-needless"


@pytest.mark.parametrize("lacking", ["document", "edition", "page", "date"])
def test_a_word_without_its_whole_source_is_refused(lacking):
    source = re.sub(rf"{lacking}: [^,}}]+(, )?", "", SOURCE).replace(", }", "}")
    text = with_words(text_of(VAN), LOCKS_OUT).replace(SOURCE, source)
    assert (
        the_problem(text).message == f"instead, locks_out_too_early, source, {lacking} is missing"
    )


def test_the_date_of_a_source_is_a_day():
    text = with_words(text_of(VAN), LOCKS_OUT).replace("date: 2025-03-01", "date: March 2025")
    assert the_problem(text).code == "date"


# The tiny procedure: what a bundle says, and who can read it

TINY = with_words(
    TINY_SOURCE,
    otherwise("crank_turned_against_a_lock", "Turn it but by hand", "{belt: [old, new]}"),
)


def tiny(text=TINY):
    return compile_source(text.encode(), {}, TINY_RULES)


def test_a_word_that_the_order_does_not_need_is_a_finding():
    (found,) = [f for f in prove_compiled(tiny()).findings if f.code == "instead-needless"]
    assert found.line == TINY.splitlines().index("  crank_turned_against_a_lock:") + 1
    turned = changed(TINY, ("does: [lock=out, turn_crank,", "does: [turn_crank, lock=out,"))
    codes = [found.code for found in prove_compiled(tiny(turned)).findings]
    assert not {"instead-needless", "rule-broken"} & {*codes}


UNDER_TENSION = otherwise("belt_off_under_tension", "Take the belt off", "ASKED")


def belt_off_as_it_is(asked):
    """The belt comes off with the nut tight and no pin in, by a word that asks for this."""
    return changed(
        with_words(TINY_SOURCE, UNDER_TENSION.replace("ASKED", asked)),
        ("    asks: {lock: in}\n    does: [nut=loose, belt=off]", "    does: [belt=off]"),
        ("    does: [belt=new, nut=tight]", "    does: [nut=loose, belt=new, nut=tight]"),
        (
            "        leaves: {nut: tight}\n        look: [belt]",
            "        leaves: {}\n        look: [belt]",
        ),
        ("\nphases:\n", "\nabsent:\n  high_voltage: this engine has none at all\nphases:\n"),
    )


@pytest.mark.parametrize("asked", ["{timing: unproved}", "{belt: [old, new]}", "{turns: unproved}"])
def test_a_word_that_can_never_stop_its_step_is_a_finding(asked):
    text = belt_off_as_it_is(asked)
    findings = prove_compiled(tiny(text)).findings
    (found,) = [each for each in findings if each.code == "instead-toothless"]
    assert found.rule == "belt_off_under_tension"
    assert "2 Belt off" in found.message
    assert found.line == text.splitlines().index("  belt_off_under_tension:") + 1


def test_a_word_that_its_step_can_be_stopped_by_is_none():
    """The nut alone is asked for: what the step needs keeps it, and without that it can stop it."""
    text = changed(
        belt_off_as_it_is("{nut: loose}"),
        ("    does: [lock=in]\n", "    does: [lock=in, lock=out, nut=loose]\n"),
        ("    does: [belt=off]", "    asks: {nut: loose}\n    does: [belt=off]"),
    )
    assert "instead-toothless" not in [each.code for each in prove_compiled(tiny(text)).findings]


def test_the_report_tells_what_the_machine_holds_before_the_makers_words():
    (rule,) = [rule for rule in tiny().bundle["rules"] if "instead" in rule]
    _, said = taken_otherwise(rule)
    assert said.startswith(
        "Asked for in this job: the old belt is on or the new belt is on. "
        "No longer asked for: the pin is on the board. The maker's words: So. "
    )
    rule["instead"]["gone"] = []
    assert "No longer" not in taken_otherwise(rule)[1]


def test_a_bundle_that_does_not_tell_what_it_holds_is_refused():
    said = json.loads(canonical(tiny().bundle))
    (word,) = [rule["instead"] for rule in said["rules"] if "instead" in rule]
    assert word["holds"] == ["the old belt is on or the new belt is on"]
    assert word["gone"] == ["the pin is on the board"]
    word["holds"] = ["the pin is on the board"]
    with pytest.raises(BundleError, match="what its steps are held to"):
        check_bundle(canonical(said))


def test_what_is_asked_for_more_widely_is_no_longer_asked_for():
    wider = otherwise("belt_off_under_tension", "Take it off", "{lock: in, nut: [tight, loose]}")
    assert the_problem(with_words(TINY_SOURCE, wider), house=TINY_RULES).code == "no-rule"
    house = [replace(TINY_RULES[0], unless=(("belt", ("new",)),))]
    bundle = compile_source(TINY.encode(), {}, house).bundle
    assert bundle["rules"][0]["instead"]["gone"] == ["the new belt is on"]


def test_a_note_says_what_holds_by_whose_word_and_what_falls_away():
    (note,) = [note for note in prove_compiled(tiny()).notes if note.code == "instead"]
    assert "never Turn it but by hand" in note.message
    assert note.hint == (
        "Source: Ombral work leaflet 21-07, edition 2, page 12, 2025-03-01. "
        "Asked for here: the old belt is on or the new belt is on. "
        "No longer asked for: the pin is on the board."
    )


def test_the_bundle_has_both_rules_and_names_the_word_at_its_steps():
    bundle = tiny().bundle
    (rule,) = [rule for rule in bundle["rules"] if "instead" in rule]
    house = TINY_RULES[0]
    assert (rule["id"], rule["kind"], rule["never"]) == (house.id, "stop", "Turn it but by hand")
    word = rule["instead"]
    assert (word["never"], word["because"]) == (house.never, house.because)
    assert word["source"] == {
        "document": "Ombral work leaflet 21-07",
        "edition": "2",
        "page": "page 12",
        "date": "2025-03-01",
    }
    assert {s["id"]: s.get("instead") for s in bundle["steps"]}["two_turns"] == [house.id]
    assert [s["id"] for s in bundle["steps"] if "instead" in s] == ["two_turns"]


def test_without_a_word_a_bundle_is_what_it_was():
    bundle = compile_source(TINY_SOURCE.encode(), {}, TINY_RULES).bundle
    assert b'"instead"' not in canonical(bundle)


def test_a_bundle_that_would_be_worked_by_without_the_word_is_refused():
    said = json.loads(canonical(tiny().bundle))
    assert check_bundle(canonical(said)) == said
    (step,) = [step for step in said["steps"] if "instead" in step]
    del step["instead"]
    with pytest.raises(BundleError, match="maker's word") as caught:
        check_bundle(canonical(said))
    assert (type(caught.value), caught.value.code) == (BundleError, "bundle-machine")
    step["instead"] = ["belt_off_under_tension"]
    with pytest.raises(BundleError, match="maker's word"):
        check_bundle(canonical(said))


def test_who_does_not_know_the_words_takes_the_bundle_for_a_newer_one(monkeypatch):
    """As a workshop's program and every app of before does: kept, passed on, never worked by."""
    data = canonical(tiny().bundle)
    monkeypatch.setattr(reader, "_SCHEMA", _schema_of_before())
    monkeypatch.setattr(reader, "_sound", set())
    with pytest.raises(NewerForm):
        check_bundle(data)


def _schema_of_before():
    schema = schema_of(shape.Bundle)()
    for name in ("steps", "rules"):
        part = schema.fields[name].schema
        del part.fields["instead"], part.load_fields["instead"]
    return schema
