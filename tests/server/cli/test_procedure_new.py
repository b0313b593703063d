"""`procedure new` and `check --watch`: a procedure is begun, and looked at while it is written."""

import re

import pytest
from click.testing import CliRunner

from demo_procedures import HATCH, ROADSIDE, VAN, bundle_of, written_of
from twoturns.cli import main
from twoturns.cli.procedure import watch
from twoturns.procedure.blocks.begin import begun
from twoturns.procedure.blocks.library import library
from twoturns.procedure.compile.bundle import load
from twoturns.procedure.compile.skeleton import notches_deg, read_belt, read_wheel
from twoturns.procedure.language.source import read
from twoturns.trade import drive

WHEELS = ["crank:0,0:20t", "tensioner:-34,130:60mm:throw8", "cam:10,260:40t"]
GIVEN = ["--engine", "PL-8", "--belt", "96x8", *(f"--wheel={wheel}" for wheel in WHEELS)]


def run(*words, typed=None):
    result = CliRunner().invoke(main, ["procedure", *map(str, words)], input=typed)
    assert result.exception is None or isinstance(result.exception, SystemExit), words
    return result.exit_code, result.output


def test_what_is_begun_compiles_with_a_belt_that_fits(tmp_path):
    code, printed = run("new", tmp_path / "pelling", *GIVEN)
    assert (code, "Next: twoturns procedure check" in printed) == (0, True)
    bundle = load(tmp_path / "pelling").bundle
    assert (bundle["id"], bundle["engine_codes"]) == ("pelling", ["PL-8"])
    tensioner = bundle["drive"]["wheels"][1]
    assert abs(tensioner["eccentric"]["pointer_mdeg"] - 137_200) < 100


def test_the_angles_are_those_at_which_the_belt_has_its_length():
    """Against the path's own length, worked out from the wheels as they stand then."""
    belt, wheels = read_belt("96x8"), [read_wheel(wheel) for wheel in WHEELS]
    bodies = [
        drive.Wheel("crank", 0, 0, drive.pitch_radius_mm(20, 8), True),
        drive.Wheel("tensioner", -34, 130, 31.6, False),
        drive.Wheel("cam", 10, 260, drive.pitch_radius_mm(40, 8), True),
    ]
    found = notches_deg(belt, wheels, clockwise=True)
    assert len(found) == 2
    for angle in found:
        placed = drive.at_angle(bodies, drive.Eccentric("tensioner", -34, 130, 8), angle)
        assert drive.belt_path(placed).length_mm == pytest.approx(768, abs=0.01)


def test_a_drive_that_ends_on_its_back_compiles_too(tmp_path):
    wheels = ["crank:0,0:22t", "tensioner:-60,110:58mm:throw7", "cam_ex:-75,290:44t"]
    wheels += ["cam_in:75,290:44t", "idler:70,60:56mm"]
    given = ["--engine", "OD-3", "--belt", "130x8", *(f"--wheel={wheel}" for wheel in wheels)]
    code, printed = run("new", tmp_path / "odrun", *given)
    assert code == 0, printed
    assert load(tmp_path / "odrun").bundle["drive"]["span"]["from"] == "idler"


def test_what_is_not_given_is_asked_for(tmp_path):
    typed = "\n".join(["PL-8", "96x8", *WHEELS, "", ""]) + "\n"
    code, _ = run("new", tmp_path / "pelling", typed=typed)
    assert code == 0
    run("new", tmp_path / "again", *GIVEN)
    written, given = (
        (tmp_path / one / "procedure.yaml").read_text() for one in ("pelling", "again")
    )
    assert written == given.replace("id: again", "id: pelling")


def test_blocks_are_chosen_and_what_they_ask_for_is_told_at_its_line(tmp_path):
    chosen = [f"--block={name}" for name in ("workshop_job", "vehicle_and_kit", "hand_over")]
    code, _ = run("new", tmp_path / "pelling", *GIVEN, *chosen)
    source = tmp_path / "pelling" / "procedure.yaml"
    text = source.read_text()
    assert "    engine_code: PL-8  # " in text
    assert "  - [confirm_vehicle, check_kit, count_tools_out]  # open" in text
    assert text.count("vehicle: ''") == 1, "what several blocks ask for stands once"
    code, printed = run("check", tmp_path / "pelling")
    (line,) = [at for at, said in enumerate(text.splitlines(), 1) if "  lay_out: ''" in said]
    assert code == 1
    assert f"line {line}" in printed

    code, printed = run("new", tmp_path / "other", *GIVEN, "--block=hand_ovr")
    assert (code, "Perhaps 'hand_over' was meant." in printed) == (2, True)


@pytest.mark.parametrize("demo", [VAN, HATCH, ROADSIDE])
def test_the_steps_of_blocks_stand_in_the_order_in_which_the_demo_is_proved(demo):
    chosen = [library()[name] for name in read(written_of(demo).encode()).data["blocks"]]
    lines = read(begun(chosen, {}).encode()).data["steps"]
    done = [step["id"] for step in bundle_of(demo)["steps"]]
    places = [done.index(name) for line in lines for name in line if name in done]
    assert len(places) > 24  # all but those whose names are still to be filled in
    assert places == sorted(places)


def test_what_may_be_left_out_is_a_comment_and_can_be_uncommented(tmp_path):
    text = begun([library()["road_wheel"], library()["locks"], library()["two_turns"]], {})
    assert "    # wheel: ''  # which wheel it is; may be left out (words)" in text
    assert text.count("# plugs_stay_in: ''") == 1, "what several blocks ask for stands once"
    assert "'lock' in locks_in, locks_out, locks_again" in text
    assert (
        read(text.replace("# wheel: ", "wheel: ").encode()).data["blocks"]["road_wheel"]["wheel"]
        == ""
    )


@pytest.mark.parametrize(
    ("name", "given", "says"),
    [
        ("Pelling", GIVEN, "is no name"),
        ("pelling", [*GIVEN[:2], "--belt", "96", *GIVEN[4:]], "is no belt"),
        ("pelling", [*GIVEN, "--wheel", "cam2:1:2t"], "is no wheel"),
        ("pelling", [*GIVEN[:4], f"--wheel={WHEELS[0]}", f"--wheel={WHEELS[2]}"], "no wheel is"),
        ("pelling", [*GIVEN[:2], "--belt", "120x8", *GIVEN[4:]], "does not fit"),
    ],
)
def test_what_cannot_be_begun_is_refused_and_nothing_is_left(tmp_path, name, given, says):
    code, printed = run("new", tmp_path / name, *given)
    assert code != 0
    assert says in printed
    assert not (tmp_path / name).exists()


def test_a_folder_that_is_there_is_left_alone(tmp_path):
    code, printed = run("new", tmp_path, *GIVEN)
    assert (code, "is there already" in printed) == (2, True)


def test_it_is_checked_again_at_each_save_and_a_fault_ends_nothing(tmp_path, monkeypatch):
    folder = tmp_path / "pelling"
    run("new", folder, *GIVEN)
    source = folder / "procedure.yaml"
    whole = source.read_text()
    texts = iter([whole.replace("edition: 1", "edition: one"), None, whole])

    def saved_meanwhile(_seconds):
        try:
            text = next(texts)
        except StopIteration:
            raise KeyboardInterrupt from None
        if text is not None:
            source.write_text(text)

    monkeypatch.setattr(watch.time, "sleep", saved_meanwhile)
    code, printed = run("check", folder, "--watch")
    assert code == 1
    assert printed.count("Checked again at each save") == 3
    assert "edition is not a whole number" in printed


@pytest.mark.parametrize(
    ("block", "listed", "says"),
    [
        ("stand_still: {vehicle: van}", "secure_vehicle", "It is called 'secure_van' here"),
        (
            "off_the_ground: {raised: stands, vehicle: car, on_stands: yes}",
            "raise_vehicle",
            "'on_stands' is 'no' or left out",
        ),
        (
            "off_the_ground: {raised: stands, vehicle: car}",
            "raise_front",
            "'on_stands' is filled in and not 'no'",
        ),
    ],
)
def test_what_becomes_of_a_step_by_what_is_filled_in_is_said_where_it_is_listed(
    tmp_path, block, listed, says
):
    run("new", tmp_path / "pelling", *GIVEN, f"--block={block.partition(':')[0]}")
    source = tmp_path / "pelling" / "procedure.yaml"
    parts = re.split(r"^(?=[a-z_]+:)", source.read_text(), flags=re.MULTILINE)
    kept = [part for part in parts if not part.startswith(("blocks:", "fill_in:", "steps:"))]
    source.write_text("".join([*kept, f"\nblocks: {{{block}}}\nsteps: [{listed}]\n"]))
    code, printed = run("check", tmp_path / "pelling")
    assert (code, says in printed) == (1, True), printed
    assert "is called" not in says or "stands nowhere" not in printed, "one fault is told once"
