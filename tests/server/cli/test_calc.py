"""`twoturns calc`: each command prints the figure its calculation gives, or refuses in words."""

import json
import math

import pytest
from click.testing import CliRunner

from twoturns.cli import main
from twoturns.cli.calc import calc
from twoturns.cli.calc.answer import shown

# The loop and the figures that an independent solver gave: lengths, both angles (own, from SciPy).
LOOP = "crank:0,0:22t idler:95,60:30mm:out cam:120,190:44t exhaust:-30,205:44t"
BELT = ["belt", *LOOP.split(), "roller:-66,95:30mm", "--pitch-mm", "8", "--anticlockwise"]
FITTED = [*BELT, "--belt-teeth", "111", "--eccentric", "roller:6"]

# What is typed, and figures that must come of it, within a part in a thousand.
FIGURES = {
    "convert 30 lbf-ft Nm": {"value": 40.675},
    "convert -40 °F °C": {"value": -40},
    "adaptor 25 --wrench-mm 400 --adaptor-mm 50 --angle-deg -45": {"setting_nm": 22.970},
    # US Army TM 9-2350-277-40&P: 40 lb-ft through a 4 in adaptor on 12 in.
    "adaptor 40 --wrench-mm 12 --adaptor-mm 4": {"setting_nm": 30},
    "bolt M10 --strength 10.9": {"proof_n": 48_100, "stress_area_mm2": 58.0},
    # VDI 2230:2001, friction 0.12, prints 20.2 kN.
    "bolt M8x1 --strength 8.8": {"at_90_percent_of_yield_n": 20_243},
    "stud M8 --stands-out-mm 34.875 --seated-mm 33": {"turns": 1.5},
    "roller M8 --tension-n 400 --wrap-deg 60 --arm-mm 20 --torque-nm 25": {"bending_mpa": 301.4},
    "tension 187.4 --tension-n 330 --mass-kg-per-m 0.131": {"target_hz": 133.9},
    "tension 1150 --frequency-hz 50 --mass-kg-per-m 0.00078125": {"per_hz": 0.4133},
    # Twice 2 %, twice 1 % and 2 %, as the root of their squares: 4.9 %.
    "tension 187.4 --frequency-hz 133.9 --mass-kg-per-m 0.131": {"tension_n": 330, "within_n": 20},
    "coolant 20 --system-l 8 --drained-l 5.5 --wanted 50": {"concentrate_l": 3.5, "water_l": 2},
    "coolant 20 --holds-c -36": {"wanted": 50},
    "coolant 30 --by-mass": {"by_volume": 27.756},  # ASHRAE 1993, worked example
    "interval --last-km 60000 --last-on 2022-05-01 --every-km 90000": {"due_km": 150_000},
    "teeth 140 24 48": {"crank_deg": 15, "turns_until_marks_meet": 70},
    "teeth 140 24 48 36": {"other_1_back_turns": 2, "other_2_back_turns": 3, "all_back_turns": 6},
}


def run(*words):
    result = CliRunner().invoke(main, ["calc", *words])
    assert result.exception is None or isinstance(result.exception, SystemExit), words
    return result.exit_code, result.output


def told(*words):
    _, printed = run(*words, "--json")
    return json.loads(printed)


@pytest.mark.parametrize("typed", FIGURES)
def test_a_figure_is_told(typed):
    found = told(*typed.split())
    for name, value in FIGURES[typed].items():
        assert found[name] == pytest.approx(value, rel=1e-3)
    _, printed = run(*typed.split())
    assert len(printed.splitlines()) >= len(FIGURES[typed])


def test_a_wheel_that_is_elsewhere_after_two_turns_is_named():
    says = "After two turns of the crank a wheel of 36 teeth stands elsewhere"
    assert says in run("teeth", "140", "24", "48", "36")[1]
    assert "stands elsewhere" not in run("teeth", "140", "24", "48", "48")[1]


def test_a_belt_is_laid_and_fitted():
    # The roller stands at its stud here, not yet swung: a path, and not the belt's.
    assert told(*BELT)["length_mm"] > 880
    found = told(*FITTED, "--mark", "crank:-120", "--mark", "cam:30")
    assert found["length_mm"] == pytest.approx(888, abs=1e-6)
    assert found["angle_1_deg"] == pytest.approx(88.4004, abs=1e-4)
    assert found["angle_2_deg"] == pytest.approx(302.2668, abs=1e-4)
    assert found["belts_that_fit"] == [111]
    assert found["crank_in_mesh"] == pytest.approx(7.29, abs=0.01)
    assert found["teeth_cam"] == pytest.approx(69.12, abs=0.01)  # as computed, no source


def test_a_wheel_that_the_belt_may_jump_on_is_named():
    few = "belt a:0,0:8t b:200,0:22t --pitch-mm 8"
    code, printed = run(*few.split())
    assert (code, "a: fewer than 6 teeth in mesh may jump." in printed) == (1, True)
    flat = "belt a:0,0:22t b:400,0:22t c:200,-40:60t --pitch-mm 8"
    code, printed = run(*flat.split())
    assert (code, "c: a wrap of less than 60° may jump." in printed) == (1, True)


def test_an_eccentric_at_the_end_of_its_travel_is_said_to_be_there():
    """The roller of two equal wheels swings straight away: 0 and 180 degrees are its ends."""
    ends = "belt a:0,0:22t b:200,0:22t --pitch-mm 8 --eccentric b:4.01 --belt-teeth 73"
    code, printed = run(*ends.split())
    assert code == 0
    assert "Angle 1 is at the end of travel" in printed
    middle = ends.replace("4.01", "8").replace("73", "72")
    assert "end of travel" not in run(*middle.split())[1]


def test_the_loop_of_the_check_values():
    fixed = [each.replace("roller:-66,95", "roller:-62,95") for each in BELT]
    found = told(*fixed)
    assert found["length_mm"] == pytest.approx(886.5860, abs=1e-4)
    spans = [found[f"{name}_span_mm"] for name in ("crank", "idler", "cam", "exhaust", "roller")]
    assert spans == pytest.approx([96.23, 100.62, 150.75, 111.57, 113.42], abs=0.005)


def test_a_label_is_read_with_its_separator_written_out():
    found = told("label", "01095060001343521727123110ABC123{GS}21SER-42", "--today", "2026-11-25")
    assert (found["lot"], found["serial"], found["expires"]) == ("ABC123", "SER-42", "2027-12-31")
    code, printed = run("label", "0109506000134352" + "17260101", "--today", "2026-11-25")
    assert (code, "It was good until 2026-01-01: do not fit it." in printed) == (1, True)
    assert "Nothing more to do" not in printed
    for past in ("15260101", "70032601011200"):
        code, printed = run("label", "0109506000134352" + past, "--today", "2026-11-25")
        assert (code, "do not fit it" in printed) == (1, True)
    assert run("gtin", "6291041500213")[0] == 0
    assert run("gtin", "6291041500214")[0] == 1


def test_a_vehicle_number_and_a_wrench_are_judged_by_the_exit_code():
    assert run("vin", "1M8GDM9AXKP042788")[0] == 0  # 49 CFR 565.15
    assert run("vin", "1M8GDM9A1KP042788")[0] == 1
    wrench = ["wrench", "25", "--high-nm", "120", "--due", "2027-01-01", "--today", "2026-11-25"]
    assert run(*wrench, "--low-nm", "20")[0] == 0
    code, printed = run(*wrench, "--low-nm", "40")
    assert (code, "is below its range, 40 to 120 N·m." in printed) == (1, True)


def test_pulls_are_listed_in_their_order():
    _, printed = run("stages", "20", "90deg", "--bolts", "4")
    lines = [" ".join(line.split()) for line in printed.splitlines()]
    assert lines[:2] == ["1. bolt 1 20 N·m", "2. bolt 3 20 N·m"]
    assert lines[7] == "8. bolt 4 90 ° further"
    assert lines[8] == "Where the maker gives an order, that one comes first."
    assert "used once" in lines[9]
    pulls = told("stages", "20", "90deg", "--bolts", "4")
    assert (pulls["pull_2_bolt_3"], pulls["units"]["pull_2_bolt_3"]) == (20, "N·m")


def test_a_forecast_names_the_odd_reading():
    typed = "interval --last-km 60000 --last-on 2022-05-01 --every-km 90000 --today 2026-11-25"
    reads = ["2023-05-01=75000", "2024-05-01=90500", "2025-05-01=19000", "2026-06-01=121000"]
    options = [word for each in reads for word in ("--reading", each)]
    found = told(*typed.split(), *options)
    assert (found["by"], found["forecast_on"][:4]) == ("distance", "2028")
    assert any("19000 km on 2025-05-01" in note for note in found["notes"])
    assert run(*typed.split(), "--reading", "2026-06-01=150000")[0] == 1


@pytest.mark.parametrize("torque", ["60", "250"])
def test_an_overtightened_bolt_is_said_first(torque):
    """By hand (VDI 2230): 60 N·m make about 45 kN in an M8, of 21.2 kN that class 8.8 bears."""
    code, printed = run("bolt", "M8", "--torque-nm", torque)
    assert (code, "Overtightened: " in printed) == (1, True)
    assert told("bolt", "M8", "--torque-nm", torque)["notes"][0].startswith("Overtightened")
    typed = f"roller M8 --tension-n 9 --wrap-deg 60 --arm-mm 9 --torque-nm {torque}"
    assert run(*typed.split())[0] == 1


def test_a_bolt_at_its_usual_torque_is_not():
    assert run("bolt", "M8", "--torque-nm", "25")[0] == 0
    assert run("bolt", "M10", "--strength", "10.9", "--torque-nm", "60")[0] == 0


def test_a_roller_that_friction_does_not_hold_is_said_to_slip():
    typed = "roller M8 --tension-n 400 --wrap-deg 180 --arm-mm 20 --torque-nm 1"
    code, printed = run(*typed.split())
    assert (code, "The roller is not held" in printed) == (1, True)
    assert "not bent at all" not in printed


def test_a_stud_at_the_end_of_its_tolerance_is_seated():
    typed = "stud M8 --stands-out-mm {} --seated-mm 34.1 --within-mm 0.1"
    assert run(*typed.format("34.2").split())[0] == 0
    assert run(*typed.format("34.0").split())[0] == 0
    assert run(*typed.format("34.21").split())[0] == 1


def test_a_mix_of_sixty_percent_can_be_wanted():
    """Their litres give 60.00000000000001 % in binary."""
    for system in ("7.3", "8", "9.1", "11.7"):
        typed = f"coolant 20 --system-l {system} --drained-l {system} --wanted 60"
        code, printed = run(*typed.split())
        assert (code, "must be" in printed) == (0, False), printed


def test_a_mix_of_too_much_glycol_and_plain_water_are_said_to_be_a_danger():
    typed = "coolant 70 --system-l 8 --drained-l 4 --wanted 50"
    code, printed = run(*typed.split())
    assert (code, "70 % glycol is more than 60" in printed) == (1, True)
    assert "then the mix is" in printed
    for typed in ("--holds-c 5", "--system-l 8 --drained-l 8 --wanted 0"):
        code, printed = run("coolant", "20", *typed.split())
        assert (code, "That is plain water" in printed) == (1, True)


@pytest.mark.parametrize(
    ("typed", "value", "unit"),
    [
        ("convert 1 km m", 1000, "m"),
        ("convert 100 ft-lb Nm", 135.58, "N·m"),
        ("convert 10 lb-ft Nm", 13.558, "N·m"),
        ("convert 10 lb-in Nm", 1.12985, "N·m"),
        ("convert 2.5 MPa bar", 25, "bar"),
    ],
)
def test_units_are_taken_as_people_call_them_and_told_to_programs(typed, value, unit):
    """Factors of NIST SP 811, appendix B.8."""
    found = told(*typed.split())
    assert found["value"] == pytest.approx(value, rel=1e-4)
    assert found["units"]["value"] == unit


def test_whose_gallon_it_is_is_said():
    assert "The gallon is the US one" in run("convert", "1", "gal", "L")[1]


OVER = "interval --last-km 60000 --last-on 2020-05-01 --every-km 90000 --today 2026-11-25"


@pytest.mark.parametrize(
    ("readings", "says"),
    [
        (["2026-06-01=150000"], "150000 km were read on 2026-06-01, and the limit is 150000 km"),
        # The newest is mistyped, and one that is kept is over.
        (["2023-05-01=130000", "2025-06-01=151000", "2026-06-01=15300"], "151000 km were read on"),
        # Which of the two is the mistyped one nobody knows.
        (["2025-06-01=151000", "2026-06-01=15300"], "151000 km were read on 2025-06-01"),
        # 30,000 km a year: over in 2023, and nobody has read it since.
        (["2021-05-01=90000", "2022-05-01=120000"], "It is due since about 2023-05-01"),
    ],
)
def test_an_interval_that_is_over_is_said_whatever_hides_it(readings, says):
    code, printed = run(*OVER.split(), *[word for one in readings for word in ("--reading", one)])
    assert (code, says in printed) == (1, True), printed


def test_an_interval_that_is_not_over_is_not_said_to_be():
    code, printed = run(*OVER.split(), "--reading", "2026-06-01=100000")
    assert (code, "is due" in printed) == (0, False)


def test_a_part_of_an_interval_is_taken_in_decimals():
    """By hand: 0.7 of 90,000 km is 63,000 km, and of 90 months 63 months."""
    typed = "interval --last-km 0 --last-on 2026-01-01 --every-km 90000 --every-months 90"
    found = told(*typed.split(), "--severe", "0.7", "--today", "2026-02-01")
    assert (found["due_km"], found["due_on"]) == (63_000, "2031-04-01")


REFUSED = [
    ("convert 30 lbf-ft bar", "measures torque, bar measures pressure"),
    ("stages 35 20 --bolts 4", "asks for 20 N·m after 35"),
    ("stages x --bolts 4", "'x' is no number"),
    ("stages 20 -5 --bolts 4", "asks for -5 N·m after 20"),
    ("wrench 25 --low-nm -1 --high-nm 100", "low_nm must be above zero"),
    ("wrench 25 --low-nm 20 --high-nm 10", "low_nm must be above zero and at most 10"),
    ("wrench 25 --high-nm 100 --cycles -1", "cycles must not be below zero"),
    ("adaptor 25 --wrench-mm 400 --adaptor-mm 50 --angle-deg 1000", "-360 to 360"),
    ("adaptor -25 --wrench-mm 400 --adaptor-mm 50", "torque_nm must be finite and above zero"),
    ("roller M8 --tension-n 4 --wrap-deg 500 --arm-mm 2 --torque-nm 5", "must be below 360"),
    ("stud M8 --stands-out-mm 35 --seated-mm 33 --within-mm 3", "with a caliper"),
    ("bolt M10 --clamped-mm 40", "needs --clamped-mm"),
    ("bolt M10x", "has no pitch of ? mm"),
    ("tension 0.1874 --tension-n 330 --mass-kg-per-m 0.131", "10 to 5000, in millimetres"),
    ("tension 187.4 --tension-n 330 --mass-kg-per-m 131", "Are these grams?"),
    ("coolant -5", "0 to 60 %"),
    ("coolant 20 --holds-c -90", "no mix holds to -90 °C"),
    ("interval --last-km -1 --last-on 2022-01-01 --every-km 9", "does not read -1 km"),
    ("interval --last-km 1 --last-on 2122-01-01 --every-km 9", "is not yet: today is"),
    ("interval --last-km 1 --last-on 2022-01-01 --every-km 9 --reading 2022-01-02=²", "no whole"),
    ("belt a:0,0:22t b:1.2.3,0:22t --pitch-mm 8", "'1.2.3' is no number"),
    ("belt a:.,0:22t b:200,0:22t --pitch-mm 8", "'.' is no number"),
    ("belt a:0,0:0t b:200,0:22t --pitch-mm 8", "size must be above zero"),
    ("belt a:0,0:22t b:200,0:0mm --pitch-mm 8", "size must be above zero"),
    ("belt a:0,0:22t b:200,0:22t --pitch-mm 8 --mark a:180", "give two or more"),
    (" ".join([*BELT, "--belt-teeth -9 --eccentric roller:6"]), "counted from one"),
    ("teeth 140 -1", "counted from one"),
    ("bolt M10 --angle-deg 90", "needs --clamped-mm"),
    ("tension 120 --mass-kg-per-m 0.1", "give one of"),
    ("coolant 20 --wanted 50", "a fill needs"),
    ("coolant 20 --wanted 50 --holds-c -36", "give one of"),
    ("coolant 101", "0 to 60 %"),
    ("tension 187 --frequency-hz 133 --mass-kg-per-m 0.1 --stiffness-nm2 0.1", "goes with"),
    ("convert -500 °C °F", "nothing is as cold as -500 °C"),
    ("belt a:0,0:22t b:40,0:22t --pitch-mm 8", "a and b overlap"),
    ("interval --last-km 1 --last-on 2022-13-01 --every-km 9", "is no day"),
    ("interval --last-km 1 --last-on 2022-01-01 --every-km 9 --reading 5", "is no reading"),
    ("interval --last-km 1 --last-on 2022-01-01", "needs a distance, a time, or both"),
    ("belt crank:0,0:22t crank:9,9:22t --pitch-mm 8", "a name of its own"),
    ("belt crank:0,0 --pitch-mm 8", "is no wheel"),
    ("belt a:0,0:22t b:10,0:30mm:out --pitch-mm 8", "no straight span"),
    ("belt a:0,0:22t b:200,0:22t --pitch-mm 8 --belt-teeth 60", "go together"),
    ("belt a:0,0:22t b:200,0:22t --pitch-mm 8 --mark c:9", "is no mark"),
    (" ".join([*BELT, "--belt-teeth 140 --eccentric roller:6"]), "does not fit"),
    (" ".join([*BELT, "--belt-teeth 111 --eccentric pump:6"]), "is no eccentric"),
    ("belt a:0,0:22t b:200,0:22t --pitch-mm 0", "must be above zero"),
    ("teeth 0 24", "counted from one"),
]


@pytest.mark.parametrize(("typed", "says"), REFUSED)
def test_what_cannot_be_is_refused_with_a_hint(typed, says):
    code, printed = run(*typed.split())
    assert code == 1
    assert says in printed
    assert printed.strip().endswith((".", "--help"))


def test_every_command_says_what_it_does():
    for name, command in calc.commands.items():
        assert command.help, name
        assert run(name, "--help")[0] == 0
    assert len(calc.commands) == 15


def test_shown_figures_keep_what_stands_before_the_point():
    assert [shown(each) for each in (48_100.0, 0.067831, -22.2222, 0.0, math.pi)] == [
        "48100",
        "0.06783",
        "-22.22",
        "0",
        "3.142",
    ]


@pytest.mark.parametrize(
    "words",
    [
        "wrench inf --high-nm inf --due 2027-01-01",
        "stages nan nan --bolts 4",
        "stages 20 inf --bolts 4",
        "stages 20 --bolts 10000000000",
        "convert nan Nm lbf-ft",
        "convert 1e308 gal L",
        "bolt M10 --torque-nm 1e308",
    ],
)
def test_a_number_that_nothing_can_have_is_refused_in_words(words):
    code, said = run(*words.split())
    assert code != 0, said


@pytest.mark.parametrize(
    "typed", ["25,5", "25Nm", "２５", "٣", "²", "½", "−5", "1_000", "0x10", "inf", "", " ", "1e308"]
)
@pytest.mark.parametrize(
    "words",
    [
        "convert {} Nm lbf-ft",
        "adaptor 25 --wrench-mm {} --adaptor-mm 50",
        "coolant {}",
        "stages {} --bolts 4",
        "tension 187 --tension-n {} --mass-kg-per-m 0.1",
        "teeth 140 {}",
    ],
)
def test_a_figure_that_people_read_differently_is_refused_with_how_to_write_it(words, typed):
    """Full-width and other digits, a comma, a unit: refused alike by every command."""
    code, said = run(*[each.format(typed) for each in words.split()])
    assert code in (1, 2)
    asks = ("is no number", "is no whole number", "is nothing that is measured")
    assert any(each in said for each in asks), said
