"""Drive blocks as a procedure's source has them: a timing belt's, and one of a ribbed belt."""

from twoturns.procedure.language import source

VAN_DRIVE = source.read(
    b"""
running: clockwise
belt: {teeth: 140, pitch_mm: 8.0, width_mm: 25, back_mm: 1.6, pitch_line_mm: 3.9,
       mass_kg_per_m: 0.131, condition: belt}
wheels:
  - {id: crank, label: CRANK, at: [0, 0], teeth: 24, side: inside, mark_deg: -90,
     hole: {at: [-6, 18], pin: l1, condition: crank_lock}}
  - {id: water_pump, label: WATER PUMP, at: [-84, 66], teeth: 21, side: inside, condition: wp}
  - {id: tensioner, label: TENSIONER, side: outside, diameter_mm: 62, stud: [-56, 151],
     eccentric_mm: 6.5, notch_deg: 224.8, within_deg: 2, condition: ten}
  - {id: cam, label: CAM, at: [6, 322], teeth: 48, side: inside, mark_deg: 93.53,
     hole: {at: [0, 281], pin: l2, condition: cam_lock}}
  - {id: pump, label: PUMP, at: [118, 171], teeth: 36, side: inside, mark_deg: 18.30,
     hole: {at: [89, 167], pin: l3, condition: pump_lock}}
  - {id: idler, label: IDLER, at: [62, 70], side: outside, diameter_mm: 56, condition: idl}
order: [crank, idler, pump, cam, tensioner, water_pump]
counts:
  - {from: crank, to: pump, teeth: 39}
  - {from: crank, to: cam, teeth: 72}
span: {from: cam, to: pump, tension_n: 330, within_percent: 15}
"""
).data

RIBBED_DRIVE = source.read(
    b"""
running: clockwise
belt: {length_mm: 1245, width_mm: 21.4, back_mm: 2.6, pitch_line_mm: 0, mass_kg_per_m: 0.108}
wheels:
  - {id: crank, label: CRANK, at: [0, 0], diameter_mm: 152, side: inside}
  - {id: tensioner, label: ARM, side: outside, diameter_mm: 70, stud: [-150, 178],
     eccentric_mm: 80, notch_deg: -60.56, within_deg: 2}
  - {id: alternator, label: ALTERNATOR, at: [-168, 236], diameter_mm: 56, side: inside}
  - {id: idler, label: IDLER, at: [40, 170], diameter_mm: 72, side: outside}
  - {id: compressor, label: COMPRESSOR, at: [190, 60], diameter_mm: 118, side: inside}
order: [crank, alternator, idler, compressor, tensioner]
counts: []
span: {from: alternator, to: idler, tension_n: 380, within_percent: 15}
"""
).data
