"""What does not balance on the straight job is found without a walk: torques, parts, belts."""

import pytest

from demo_procedures import HATCH, VAN, bundle_of, text_of
from twoturns.procedure.compile.compiler import compile_source
from twoturns.procedure.prove.balance import other_belts, unbalanced
from twoturns.procedure.prove.phrases import Words

NUT, MOUNT = "    torque: {nm: 26}\n", "    takes: {mount_bolts: 4}\n"


def changed(old, new):
    text = text_of(VAN)
    assert text.count(old) == 1
    return text.replace(old, new)


def findings(text):
    compiled = compile_source(text.encode(), {})
    return unbalanced(compiled.bundle, Words(compiled.bundle, compiled.document))


def test_the_van_balances():
    assert findings(text_of(VAN)) == []


def test_a_fastener_that_is_called_tight_without_a_torque_is_found():
    (found,) = findings(changed(NUT, ""))
    assert found.code == "torque-missing"
    assert "'28 Tensioner nut, 26 N·m'" in found.message


def test_a_torque_that_no_wrench_at_hand_reaches_is_found():
    (found,) = findings(changed(NUT, "    torque: {nm: 126}\n"))
    assert found.code == "torque-out-of-reach"
    assert found.message == (
        "'28 Tensioner nut, 26 N·m' asks for 126 N·m: the torque wrench 10 to 100 reaches 10 to 100"
    )
    assert found.hint == "Take out large_wrench there."
    (found,) = findings(changed(NUT, "    torque: {nm: 0.5}\n"))
    assert found.hint.startswith("List a wrench that reaches it")


def test_a_stage_that_no_wrench_at_hand_reaches_is_found():
    """The last figure is in range; 4 N·m on the way to it is below the wrench."""
    stage = "sequence: [five bolts by hand, 6 N·m in star order"
    (found,) = findings(changed(stage, stage.replace("6 N·m", "4 N·m")))
    assert found.code == "torque-out-of-reach"
    assert found.message == (
        "'22 Water pump on, 11 N·m' asks for 4 N·m: the torque wrench 5 to 25 reaches 5 to 25"
    )
    assert findings(changed(stage, stage.replace("6 N·m", "7.5 N·m"))) == []


@pytest.mark.parametrize("nm", [20, 100])
def test_the_ends_of_a_wrenchs_range_are_in_its_reach(nm):
    assert findings(changed(NUT, f"    torque: {{nm: {nm}}}\n")) == []


@pytest.mark.parametrize("uses", [3, 5])
def test_single_use_parts_that_do_not_balance_are_found(uses):
    (found,) = findings(changed(MOUNT, f"    takes: {{mount_bolts: {uses}}}\n"))
    assert found.code == "parts-unbalanced"
    assert found.message == f"the kit has 4 of 'mount bolts', the steps use {uses}"


def test_what_does_not_balance_stands_at_its_line():
    source = changed(MOUNT, "")
    (found,) = findings(source)
    line = source.splitlines()[found.line - 1].strip()
    assert line.startswith("mount_bolts: {label: mount bolts")


def test_a_belt_of_another_length_that_goes_on_is_noted():
    # The demo's data say so too: 140 and 141 are both in reach of A's eccentric; 146 alone of B's.
    (note,) = other_belts(bundle_of(VAN))
    assert note.code == "other-belt-fits"
    assert note.message == "a belt of 141 teeth goes on as well as the one of 140"
    assert list(other_belts(bundle_of(HATCH))) == []
