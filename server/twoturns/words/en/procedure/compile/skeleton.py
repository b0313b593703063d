"""What `twoturns/procedure/compile/skeleton.py` says, and writes for an author to go on with."""

NO_WHEEL = (
    "{text} is no wheel. Write NAME:X,Y:20t for one with teeth, NAME:X,Y:60mm for a smooth one on "
    "the belt's back, with :in if the belt's teeth run on it, with :throw8 if it is the tensioner"
)
NO_BELT = "{text} is no belt. Write its teeth and its pitch in mm: 96x8"
NOT_ONE_TENSIONER = (
    "{n, plural, =0 {no wheel is} other {# wheels are}} the tensioner. Write :throw and its throw "
    "in mm at one: tensioner:-34,130:60mm:throw8"
)
SOURCE = """\
{head}
{work}

{drive}
"""
HEAD = """\
id: {id}
name: Timing drive, {engine}
edition: 1
vehicle: {engine}
engine_codes: [{engine}]
cautions:
  - The vehicle maker's data for this engine code come first, always.
  - Qualified people only, by the rules of the place.
interval:
  months: 60
  km: 90000
"""
WORK = """\
conditions:
  engine:
    belt:
      label: timing belt
      values:
        old: the old belt is on
        off: no belt is on
        new: the new belt is on

moves:
  belt:
    off: [old, new]
    new: off

phases:
  off: Old belt off
  on: New belt on

steps:
  - id: belt_off
    number: 1
    phase: off
    title: Old belt off
    act: The old belt is off
    says: [Take the belt off by hand.]
    does: [belt=off]
  - id: belt_on
    number: 2
    phase: on
    title: New belt on
    act: The new belt is on
    says: [Lay the new belt on by hand.]
    asks:
      belt: off
    does: [belt=new]

ends:
  finished:
    name: Finished
    all_must: yes

kit:
  belt:
    label: timing belt
    count: 1
    condition: belt"""
DRIVE = """\
drive:
  running: {running}
  # width, back, pitch line and mass are a common belt's: measure yours
  belt:
    teeth: {teeth}
    pitch_mm: {pitch}
    width_mm: 22
    back_mm: {back}
    pitch_line_mm: {pitch_line}
    mass_kg_per_m: 0.115
    condition: belt
  # the belt fits with the tensioner at its notch_deg, and at {other} as well: take the maker's
  # at a wheel that has one: mark_deg (its mark, the engine at its marks: 0 right, 90 up), and
  # hole: {a}at: [-5, 15], pin: crank_pin, condition: crank_lock{b} (mm from the crankshaft)
  # at one that is taken off in the job: condition: pump (idler, tensioner: as its block calls it)
  wheels:
{wheels}
  # the order in which the belt goes on: from the crankshaft, the tight side first
  order: [{order}]
  # teeth from mark to mark, against the run: - {a}from: crank, to: cam, teeth: 48{b}
  counts: []
  # the free span that is plucked, and the pull that the maker asks for
  span:
    from: {last}
    to: {first}
    tension_n: 300
    within_percent: 15"""
