"""What `twoturns/procedure/drive/fields.py` says, and the reference of the language."""

WHERE = "{n, plural, =0 {{part}} other {{part}, number #}}"
MISSING = "{where}: {field} is missing"
UNKNOWN = "{where}: ''{field}' means nothing here"
OR = " or "
FIELD = {
    "drive.running": "How the crankshaft turns, seen from the belt: clockwise or anticlockwise.",
    "drive.belt": "The belt, its fields below.",
    "drive.wheels": "The wheels in the order the belt runs, the crankshaft's first.",
    "drive.order": "The ids of the wheels in the order in which the belt is laid on.",
    "drive.counts": "Teeth of the belt between two marks: a list of from, to, teeth; or [].",
    "drive.span": "The free span that is plucked: from, to, tension_n, within_percent.",
    "belt.teeth": "How many teeth the belt has, with pitch_mm. A ribbed belt has length_mm.",
    "belt.length_mm": "How long a ribbed belt is, in mm.",
    "belt.pitch_mm": "From tooth to tooth, in mm.",
    "belt.width_mm": "How wide the belt is, in mm.",
    "belt.back_mm": "From the pitch line to the smooth back, in mm.",
    "belt.pitch_line_mm": "From the bottom of the teeth to the pitch line, in mm.",
    "belt.mass_kg_per_m": "What a metre of it weighs at its full width, in kg.",
    "belt.condition": "The condition that says whether the belt is on; drawn unless at off.",
    "wheels.id": "A name of small letters, by which order, counts and steps know it.",
    "wheels.label": "What stands in the drawing.",
    "wheels.side": "inside: the toothed side of the belt runs on it; outside: its smooth back.",
    "wheels.teeth": "How many teeth it has; a smooth one has diameter_mm.",
    "wheels.diameter_mm": "How thick a smooth roller is, in mm.",
    "wheels.at": (
        "Where its middle is: [x, y] in mm from the crankshaft's, x to the right and y up, seen "
        "from the belt. The tensioner has stud."
    ),
    "wheels.stud": (
        "Of the tensioner: the stud that it turns about, [x, y] in mm. Besides eccentric_mm, "
        "notch_deg, within_deg."
    ),
    "wheels.eccentric_mm": "How far the tensioner's middle is from its stud, in mm.",
    "wheels.notch_deg": (
        "The angle of the tensioner's middle as seen from its stud, with the belt at its tension: "
        "0 to the right, 90 up. The solver finds it by the belt's length and says where it is."
    ),
    "wheels.within_deg": "How far the found angle may be from notch_deg, in degrees.",
    "wheels.mark_deg": "Where its mark stands with the engine at its marks: 0 right, 90 up.",
    "wheels.hole": "Where a pin locks it: at, pin, condition.",
    "wheels.condition": "The condition that says whether it is on; drawn unless at off.",
    "hole.at": "Where the hole is, [x, y] in mm from the crankshaft's middle.",
    "hole.pin": "The tool that goes in.",
    "hole.condition": "The condition that says whether it is in.",
    "counts.from": "The wheel at whose mark one begins to count.",
    "counts.to": "The wheel at whose mark it ends, against the run of the belt (tight side).",
    "counts.teeth": "How many teeth lie between.",
    "span.from": "The wheel before the span, the way the belt runs.",
    "span.to": "The wheel after it.",
    "span.tension_n": "The pull that the maker asks for, in N.",
    "span.within_percent": "How far the note may be off, in per cent.",
}
