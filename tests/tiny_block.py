"""The tiny procedure, with half of it in a block."""

from tiny_procedure import TINY_SOURCE


def _between(begin, end):
    at = TINY_SOURCE.index(begin)
    return TINY_SOURCE[at : TINY_SOURCE.index(end, at)]


# Proofs that have nothing to fill in.
TEETH_AND_FEEL = _between("      - {name: teeth", "    tools_in: [l1]")
# What the tiny procedure does first and last, with the names of its lock left open.
LOCK = (
    """\
block: lock_and_belt
edition: 3
name: Lock in and belt off
because: A shaft that is not locked springs away when the belt goes.
fill_in:
  locks: {kind: list, of: {name: name, pin: name, label: words}, says: the locks}
  seized: {kind: yes_no, otherwise: yes, says: whether the nut can seize}
  turned: {kind: window, unit: °, says: what the crankshaft is turned through}
  soak: {kind: figure, unit: min, may_lack: yes, says: how long the oil works}
conditions:
  engine:
    '{each locks}':
      label: '{each locks.label}'
      values:
        out: the pin is on the board
        in: the pin is in the crankshaft
steps:
  - id: lock_in
    phase: off
    title: Pin in
    act: Pin slides home
    says: [Push the pin in by hand.]
    does: ['{each locks}=in']
    tools_out: ['{each locks.pin}']
  - id: belt_off
    phase: off
    title: Belt off
    act: Belt is off
    says:
      - Loosen the nut and lift the belt off.
      - {where: soak, then: 'Oil, and {soak} minutes.'}
    asks: {'{each locks}': in}
    does: [nut=loose, belt=off]
    fails:
      - where: seized
        id: nut_seized
        says: The nut does not move.
        then: Soak it and come back.
        leaves: {nut: tight}
        look: [belt]
  - id: two_turns
    phase: on
    title: Two turns by hand
    act: Two turns done
    says: [Draw the pin and turn twice.]
    asks: {belt: new, nut: tight}
    does: ['{each locks}=out', turn_crank, turns=two]
    proof:
      - name: turned
        kind: reading
        label: angle turned
        unit: °
        low: '{turned.low}'
        high: '{turned.high}'
"""
    + TEETH_AND_FEEL
    + """\
    tools_in: ['{each locks.pin}']
  - id: belt_off_again
    phase: on
    title: Belt off again
    act: Belt is off
    says: [Pin in, nut loose, belt off.]
    does: ['{each locks}=in', nut=loose, belt=off]
    undo: yes
    tools_out: ['{each locks.pin}']
tools:
  '{each locks.pin}': {label: '{each locks.label}', outline: pin}
"""
)
CHOICE = """\
blocks:
  lock_and_belt:
    locks: [{name: lock, pin: l1, label: crank pin}]
    turned: 715 to 725.0 °
"""
FILES = {"lock_and_belt.yaml": LOCK.encode()}


def written_with(choice=CHOICE, listed="[lock_in, belt_off]", two_turns="two_turns"):
    """The tiny procedure without what the block brings, and with the block."""
    lines = TINY_SOURCE.replace(_between("    lock:\n", "    nut:\n"), "")
    lines = lines.replace(_between("  - id: lock_in", "  - id: belt_on\n"), f"  - {listed}\n")
    lines = lines.replace(_between("  - id: two_turns", "  - id: sign"), f"  - {two_turns}\n")
    lines = lines.replace(_between("  - id: belt_off_again", "ends:"), "\n")
    lines = lines.replace("tools:\n  l1: {label: crank pin, outline: pin}\n\n", "")
    return lines.replace("conditions:\n", f"{choice}conditions:\n", 1)
