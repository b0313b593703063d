"""
A procedure of five steps and one way back, and its machine worked out by hand.

The machine below is not printed by our code: it was written from formats.md, section 6, with a
pencil beside it. Conditions: 0 lock, 1 nut, 2 belt, 3 turns, 4 timing. Masks count the values from
the right: of lock, 1 is out and 2 is in; of belt, 1 is old, 2 is off, 4 is new.
"""

from twoturns.procedure.rules.house import Rule

TINY_RULES = [
    Rule(
        id="crank_turned_against_a_lock",
        kind="stop",
        never="Turn the crankshaft with a pin in it or without a belt",
        doing=("turn_crank",),
        unless=(("lock", ("out",)), ("belt", ("old", "new"))),
        because="The pin bends, or valves meet pistons.",
    ),
    Rule(
        id="belt_off_under_tension",
        kind="stop",
        never="Take the belt off while the shafts are free or the nut is tight",
        doing=("belt=off",),
        unless=(("lock", ("in",)), ("nut", ("loose",))),
        because="The shafts spring away.",
    ),
    Rule(
        id="hybrid_still_live",
        kind="stop",
        never="Reach into the drive of a hybrid that is not proved dead",
        doing=("turn_crank",),
        unless=(("high_voltage", ("proved_dead",)),),
        because="It may start, or bite.",
    ),
]

TINY_SOURCE = """\
id: tiny
name: A tiny drive
edition: 1
vehicle: Ombral Hayfork
engine_codes: [QL-19D4]
interval: {months: 72, km: 110000}

conditions:
  engine:
    lock:
      label: crank pin
      values:
        out: the pin is on the board
        in: the pin is in the crankshaft
    nut:
      label: tensioner nut
      values:
        tight: the nut is tight
        loose: the nut is loose
    belt:
      label: timing belt
      values:
        old: the old belt is on
        off: the belt is off
        new: the new belt is on
  proof:
    turns:
      label: two turns by hand
      values:
        unproved: two turns are not proved
        two: two turns by hand are proved
    timing:
      label: timing
      values:
        unproved: the timing is not proved
        proved: the timing is proved

moves:
  belt:
    off: [old, new]
    new: off
voids:
  nut=loose: turns
  belt=off: turns
rests:
  timing: turns

phases:
  off: Old belt off
  on: New belt on

steps:
  - id: lock_in
    number: 1
    phase: off
    title: Pin in
    act: Pin slides home
    says: [Push the pin in by hand.]
    does: [lock=in]
    tools_out: [l1]
  - id: belt_off
    number: 2
    phase: off
    title: Belt off
    act: Belt is off
    says: [Loosen the nut and lift the belt off.]
    asks: {lock: in}
    does: [nut=loose, belt=off]
    fails:
      - id: nut_seized
        says: The nut does not move.
        then: Soak it and come back.
        leaves: {nut: tight}
        look: [belt]
  - id: belt_on
    number: 3
    phase: on
    title: New belt on
    act: Belt is on
    says: [Lay the belt on, tighten the nut and look at the whole drive.]
    asks: {lock: in, belt: off}
    does: [belt=new, nut=tight]
    proof:
      - {name: whole_drive, kind: photo, label: the whole drive}
  - id: two_turns
    number: 4
    phase: on
    title: Two turns by hand
    act: Two turns done
    says: [Draw the pin and turn twice.]
    asks: {belt: new, nut: tight}
    does: [lock=out, turn_crank, turns=two]
    proof:
      - {name: turned, kind: reading, label: angle turned, unit: °, low: 715, high: 725.0}
      - {name: teeth, kind: count, label: teeth, target: 72}
      - name: felt
        kind: choice
        label: how it turned
        options:
          - {id: freely, says: freely}
    tools_in: [l1]
  - id: sign
    number: 5
    phase: on
    title: Timing proved
    act: Signed
    says: [Sign.]
    asks: {lock: out}
    does: [timing=proved]
    proof:
      - {name: signed, kind: signature, label: mechanic}
  - id: belt_off_again
    phase: on
    title: Belt off again
    act: Belt is off
    says: [Pin in, nut loose, belt off.]
    does: [lock=in, nut=loose, belt=off]
    undo: yes
    tools_out: [l1]

ends:
  finished:
    name: Finished
    all_must: yes
    conditions: {lock: out}

tools:
  l1: {label: crank pin, outline: pin}

drive:
  running: clockwise
  belt: {teeth: 140, pitch_mm: 8.0, width_mm: 25, back_mm: 1.6, pitch_line_mm: 3.9,
         mass_kg_per_m: 0.131, condition: belt}
  wheels:
    - {id: crank, label: CRANK, at: [0, 0], teeth: 24, side: inside, mark_deg: -90,
       hole: {at: [-6, 18], pin: l1, condition: lock}}
    - {id: water_pump, label: WATER, at: [-84, 66], teeth: 21, side: inside}
    - {id: tensioner, label: TENSIONER, side: outside, diameter_mm: 62, stud: [-56, 151],
       eccentric_mm: 6.5, notch_deg: 224.8, within_deg: 2}
    - {id: cam, label: CAM, at: [6, 322], teeth: 48, side: inside, mark_deg: 93.53}
    - {id: pump, label: PUMP, at: [118, 171], teeth: 36, side: inside, mark_deg: 18.3}
    - {id: idler, label: IDLER, at: [62, 70], diameter_mm: 56, side: outside}
  order: [crank, idler, pump, cam, tensioner, water_pump]
  counts: [{from: crank, to: cam, teeth: 72}]
  span: {from: cam, to: pump, tension_n: 330, within_percent: 15}
"""

TINY_MACHINE = {
    "conditions": [
        {"id": "lock", "proof": False, "values": ["out", "in"], "start": 0},
        {"id": "nut", "proof": False, "values": ["tight", "loose"], "start": 0},
        {"id": "belt", "proof": False, "values": ["old", "off", "new"], "start": 0},
        {"id": "turns", "proof": True, "values": ["unproved", "two"], "start": 0},
        {"id": "timing", "proof": True, "values": ["unproved", "proved"], "start": 0},
    ],
    "steps": [
        {
            "id": "lock_in",
            "undo": False,
            "must": True,
            "together": None,
            "guard": [],
            "moves": [],  # no moves are listed for the lock: any is legal
            "effect": [[0, 1]],
            "on_the_way": [[0, 0b10]],
            "fails": [],
            "reopen": [],
            "rules": [],
            "proof": [],
            "tools_out": ["l1"],
            "tools_in": [],
        },
        {
            "id": "belt_off",
            "undo": False,
            "must": True,
            "together": None,
            "guard": [[0, 0b10]],
            "moves": [],  # belt=off comes from old and new, or is there already: every value
            "effect": [[1, 1], [2, 1], [3, 0], [4, 0]],  # timing rests on turns and falls too
            "on_the_way": [[1, 0b10], [2, 0b10], [3, 0b1], [4, 0b1]],
            "fails": [{"id": "nut_seized", "effect": [[1, 0], [3, 0], [4, 0]], "look": [2]}],
            "reopen": [],
            # The nut is loosened in the step itself: that half of the rule is met.
            "rules": [{"rule": 1, "guard": [[0, 0b10]]}],
            "proof": [],
            "tools_out": [],
            "tools_in": [],
        },
        {
            "id": "belt_on",
            "undo": False,
            "must": True,
            "together": None,
            "guard": [[0, 0b10], [2, 0b10]],
            "moves": [[2, 0b110]],  # from off; or the new belt is there already
            "effect": [[1, 0], [2, 2]],
            "on_the_way": [[1, 0b1], [2, 0b100]],
            "fails": [],
            "reopen": [],
            "rules": [],
            "proof": [{"name": "whole_drive", "kind": "photo"}],
            "tools_out": [],
            "tools_in": [],
        },
        {
            "id": "two_turns",
            "undo": False,
            "must": True,
            "together": None,
            "guard": [[1, 0b1], [2, 0b100]],
            "moves": [],
            "effect": [[0, 0], [3, 1]],
            "on_the_way": [[0, 0b1]],  # a proof that is written does not fall on the way
            "fails": [],
            "reopen": [[3, 0], [4, 0]],
            "rules": [{"rule": 0, "guard": [[2, 0b101]]}],
            "proof": [
                {"name": "turned", "kind": "reading", "low": "715", "high": "725.0"},
                {"name": "teeth", "kind": "count", "low": "72", "high": "72"},
                {"name": "felt", "kind": "choice", "ok": ["freely"]},
            ],
            "tools_out": [],
            "tools_in": ["l1"],
        },
        {
            "id": "sign",
            "undo": False,
            "must": True,
            "together": None,
            "guard": [[0, 0b1], [3, 0b10]],  # timing rests on turns: it is needed
            "moves": [],
            "effect": [[4, 1]],
            "on_the_way": [],
            "fails": [],
            "reopen": [[4, 0]],
            "rules": [],
            "proof": [{"name": "signed", "kind": "signature"}],
            "tools_out": [],
            "tools_in": [],
        },
        {
            "id": "belt_off_again",
            "undo": True,
            "must": False,
            "together": None,
            "guard": [],
            "moves": [],
            "effect": [[0, 1], [1, 1], [2, 1], [3, 0], [4, 0]],
            "on_the_way": [[0, 0b10], [1, 0b10], [2, 0b10], [3, 0b1], [4, 0b1]],
            "fails": [],
            "reopen": [],
            "rules": [],  # both halves of the rule are met by the step itself
            "proof": [],
            "tools_out": ["l1"],
            "tools_in": [],
        },
    ],
    "rests": [[4, [3]]],
    "makers": [
        [0, 0, [3]],
        [0, 1, [0]],
        [1, 0, [2]],
        [1, 1, [1]],
        [2, 1, [1]],
        [2, 2, [2]],
        [3, 1, [3]],
        [4, 1, [4]],
    ],
    "ends": [{"id": "finished", "all_must": True, "conditions": [[0, 0b1]]}],
}

#: The same by an invented maker's word: what holds in place of the first rule.
TINY_BY_WORD = TINY_SOURCE.replace(
    "phases:\n",
    """instead:
  crank_turned_against_a_lock:
    says: It is turned with the pin in its slack hole.
    never: Turn the crankshaft without a belt
    unless: {belt: [old, new]}
    because: Valves meet pistons.
    why: The hole is twice as wide as the pin.
    source: {document: Ombral leaflet 21-07, edition: 2, page: page 12, date: 2025-03-01}
phases:
""",
    1,
)
