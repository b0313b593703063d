"""The blocks that come with the program: sound by themselves, and each of use to several."""

import re
from pathlib import Path

import pytest

from demo_procedures import HATCH, ROADSIDE, VAN, loaded, written_of
from twoturns.procedure import blocks
from twoturns.procedure.blocks.fill_in import OPEN, Opening
from twoturns.procedure.blocks.library import library
from twoturns.procedure.compile.compiler import compile_source
from twoturns.procedure.errors import SourceErrors
from twoturns.procedure.language import source
from twoturns.procedure.language.source import Items, Mapping
from twoturns.procedure.prove.prove import prove_compiled

NAMES = sorted(library())
PAGE = Path(__file__).resolve().parents[4] / "server" / "docs" / "writing.md"
#: A second car at the roadside, and the engine of the tutorial.
DUNLIN = Path(__file__).with_name("dunlin.yaml").read_text()
#: A petrol engine without an idler.
CORVANE = Path(__file__).with_name("corvane.yaml").read_text()
(PLOVER,) = re.findall(r"^```yaml\n(blocks:\n.*?)^```$", PAGE.read_text(), re.MULTILINE | re.DOTALL)


def texts(node):
    """Every key and text of a part of a block, with the words of its conditions and lists."""
    if isinstance(node, Mapping):
        for key, value in node.values.items():
            if key in ("where_block", "where_no_block"):
                continue
            if key in ("where", "where_not", "each"):
                yield "{" + value.value + "}"
            else:
                yield key
                yield from texts(value)
    elif isinstance(node, Items):
        for each in node.values:
            yield from texts(each)
    else:
        yield node.value


@pytest.mark.parametrize("name", NAMES)
def test_what_a_block_leaves_open_is_what_it_asks_for(name):
    block = library()[name]
    assert block.id == name
    brings = [part for word, part in block.document.root.values.items() if word != "fill_in"]
    otherwise = [
        asked.values["otherwise"]
        for asked in getattr(block.document.root.values.get("fill_in"), "values", {}).values()
        if "otherwise" in asked.values
    ]
    left_open = {
        Opening.of(found).name
        for part in (*brings, *otherwise)
        for said in texts(part)
        for found in OPEN.finditer(said)
    }
    assert left_open == set(block.asked)


def test_each_block_serves_two_procedures():
    texts = (*(written_of(name) for name in (VAN, HATCH, ROADSIDE)), PLOVER, DUNLIN)
    taken = [set(source.read(text.encode()).data["blocks"]) for text in texts]
    alone = [name for name in NAMES if sum(name in each for each in taken) < 2]
    assert alone == []


def test_the_blocks_of_the_roadside_are_proved_on_a_second_car():
    compiled = compile_source(DUNLIN.encode(), {})
    proof = prove_compiled(compiled)
    assert [found.message for found in proof.findings] == []
    said = str(compiled.bundle)
    assert not re.search(r"and compressor|all six ribs|air conditioning|31 N·m|1,245", said)


def test_what_stands_beside_a_block_names_one_of_the_library():
    folder = Path(blocks.__file__).parent
    written = "".join(file.read_text() for file in folder.glob("*.yaml"))
    named = re.findall(r"where_(?:no_)?block: (\[.*?\]|\w+)", written)
    assert named
    assert {word for each in named for word in re.findall(r"\w+", each)} <= set(NAMES)


# Engines that lack a part: each is written without the block of it, and is proved


def without_a_pump(text):
    """Its water pump stands outside the drive: the cooling circuit stays shut."""
    shut = "The cooling circuit stays shut in this job."
    text = re.sub(r"^  (cooling_circuit|water_pump|cams): ?.*\n", "", text, flags=re.MULTILINE)
    pairs = {
        "id: water_pump, label: WATER PUMP": "id: oil_pump, label: OIL PUMP",
        ", condition: pump}": "}",
        "tensioner, water_pump]": "tensioner, oil_pump]",
        "Then tensioner and water pump.": "Then tensioner and oil pump.",
        "open_cap": "cool_down",
        "drain_coolant, ": "",
        ", pump_off]": "]",
        "pump_on, ": "",
        "fill_coolant, pressure_test, ": "",
        "parts: 10": "parts: 7",
        "  tools: 10": "  tools: 9",
        "the tester and the measuring tray": "the measuring tray",
        "absent:\n": "absent:\n  pump: The water pump stands outside this drive.\n"
        "  seals: The seals behind the wheels are no part of this job.\n"
        + "".join(f"  {word}: {shut}\n" for word in ("cap", "leak", "coolant", "tray")),
    }
    return replaced(text, pairs)


def without_angles(text):
    """Its mount and its damper are held by a torque alone."""
    pairs = {
        ", mount_angle: '90 °, 87 to 93'": "",
        ", damper_angle: '90 °, 87 to 93'": "",
        "  angle_gauge: {label: angle gauge, outline: angle_gauge}\n": "",
        "hex key, angle gauge,": "hex key,",
        "  tools: 10": "  tools: 9",
    }
    return replaced(text, pairs)


def with_a_keyed_wheel(text):
    """Its camshaft's wheel is keyed: no bolt of it is loosened."""
    for gone in (r"  wheel_bolts: .*\n", r"    cam_to_lock(_how)?: .*\n"):
        text = re.sub(f"^{gone}", "", text, flags=re.MULTILINE)
    text = re.sub(r"^    cam_to_lock_says:\n(      - .*\n)+", "", text, flags=re.MULTILINE)
    pairs = {
        "loosen_tapers_and_nut": "slacken",
        ", tighten_tapers]": "]",
        "drive_tools: [counter-hold, hex key]": "drive_tools: [hex key]",
        "absent:\n": "absent:\n  cam_bolts: The wheel of the camshaft is keyed and stays on.\n",
    }
    return replaced(text, pairs)


def with_nothing_to_hold(text):
    """Keyed, and no seal behind the wheel is renewed: no counter-hold is on the board."""
    pairs = {
        "  tools: 9": "  tools: 8",
        "flywheel lock, counter-hold,": "flywheel lock,",
    }
    return replaced(with_a_keyed_wheel(without_a_pump(text)), pairs)


def replaced(text, pairs):
    for old, new in pairs.items():
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


#: Another text of the engine without an idler, and words that no step of it may say.
LACKING = {
    "idler": (lambda text: text, r"\bidler\b"),
    "idler, angles": (without_angles, r"\bangles?\b|angle_deg|in one pull|\d°"),
    "idler, wheel_bolts": (with_a_keyed_wheel, r"\bidler\b|cam_bolts|taper|[Ww]heels? loose"),
    "idler, wheel_bolts, water_pump": (with_nothing_to_hold, r"counter.?hold|cam_bolts|sprocket"),
    "idler, water_pump": (without_a_pump, r"\bidler\b|rollers and pump|or the pump|coolant booked"),
}


@pytest.mark.parametrize("lacks", LACKING)
def test_an_engine_that_lacks_a_part_is_proved_without_its_block(lacks):
    changed, unsaid = LACKING[lacks]
    compiled = compile_source(changed(CORVANE).encode(), {})
    assert [found.message for found in prove_compiled(compiled).findings] == []
    said = "\n".join(str(step) for step in compiled.bundle["steps"])
    assert re.findall(unsaid, said) == []
    assert compiled.absent["plugs"] == "The spark plugs stay in."


# What follows from the drive, or from how many there are, cannot be filled in unlike it


@pytest.mark.parametrize(
    ("right", "wrong", "code", "told"),
    [
        ("mark: fuel pump}", "mark: fuel pump, count: 40}", "fill-in-differs", ("40", "39")),
        (
            "{to: cam, mark: camshaft}",
            "{to: idler, mark: camshaft}",
            "fill-in-differs",
            ("the drive has no 'idler' under 'counts'",),
        ),
        (", {to: cam, mark: camshaft}]", "]", "fill-in-differs", ("cam, 72",)),
        (
            "timing_belt:\n",
            "timing_belt:\n    belt_order: [crank, cam, fuel_pump, idler, tensioner, water_pump]\n",
            "fill-in-differs",
            ("crank, cam, fuel_pump", "crank, idler, fuel_pump"),
        ),
        ("two_turns:\n", "two_turns:\n    belt_turns: 35\n", "fill-in-differs", ("35", "70")),
        (
            "two_turns:\n",
            "two_turns:\n    drive_tools_counted: 7\n",
            "fill-in-differs",
            ("7", "locks, drive_tools are 5"),
        ),
        ("front right, rear left]", "front right]", "fill-in-differs", ("3", "mount_bolts are 4")),
        ("[top, right, left]", "[top, left]", "fill-in-differs", ("2", "wheel_bolts are 3")),
        (
            "notch_deg: 224.8",
            "notch_deg: 87.5",
            "notch-lets-go",
            ("turned clockwise", "224.6"),
        ),
    ],
)
def test_what_the_drive_says_is_not_said_otherwise(right, wrong, code, told):
    text = written_of(VAN)
    assert text.count(right) == 1
    spoilt = text.replace(right, wrong)
    with pytest.raises(SourceErrors) as caught:
        compile_source(spoilt.encode(), {})
    (found,) = [each for each in caught.value.problems if each.code == code]
    said = f"{found.message} {found.hint}"
    assert all(part in said for part in told), said
    at = next(i for i, line in enumerate(text.splitlines(), 1) if right.strip() in line)
    assert abs(found.line - at) <= 1


def test_what_is_said_as_the_drive_says_it_is_taken():
    said = written_of(VAN).replace("mark: fuel pump}", "mark: fuel pump, count: 39}")
    said = said.replace("two_turns:\n", "two_turns:\n    belt_turns: 70\n")
    assert compile_source(said.encode(), {}).bundle == loaded(VAN).bundle
