"""
A block brings what the tiny procedure says itself: written with it or without, the bundle is the
same. What is filled in wrongly is told at its line and at the block's.
"""

import hashlib

import pytest

from tiny_block import CHOICE, FILES, LOCK, written_with
from tiny_procedure import TINY_RULES, TINY_SOURCE
from twoturns.procedure.blocks.compose import composed
from twoturns.procedure.blocks.library import library, with_own
from twoturns.procedure.compile.bundle import BLOCKS_NAME, canonical, check_bundle, load
from twoturns.procedure.compile.compiler import compile_source
from twoturns.procedure.errors import BlockLine, SourceErrors
from twoturns.procedure.language import source
from twoturns.procedure.language.source import Document
from twoturns.procedure.language.write import written_out
from twoturns.procedure.prove.prove import prove_compiled


def compiled(text, files=FILES):
    return compile_source(text.encode(), {}, TINY_RULES, blocks=files)


def faults(text, files=FILES):
    with pytest.raises(SourceErrors) as caught:
        compiled(text, files)
    return caught.value.problems


def line_of(text, part):
    return next(at for at, line in enumerate(text.splitlines(), 1) if part in line)


def parts(bundle):
    """A bundle without its record of blocks; conditions stand in the order that blocks bring."""
    said = {word: part for word, part in bundle.items() if word not in ("blocks", "machine")}
    return {**said, "conditions": sorted(said["conditions"], key=lambda each: each["id"])}


def test_a_procedure_written_with_a_block_is_the_one_written_without_it():
    whole = compile_source(TINY_SOURCE.encode(), {}, TINY_RULES)
    assert parts(compiled(written_with()).bundle) == parts(whole.bundle)
    assert "blocks" not in whole.bundle, "a bundle without blocks is byte for byte as before"


def test_a_bundle_records_its_blocks_and_needs_none_of_them():
    bundle = compiled(written_with()).bundle
    sha256 = hashlib.sha256(LOCK.encode()).hexdigest()
    assert bundle["blocks"] == [{"id": "lock_and_belt", "edition": 3, "sha256": sha256}]
    assert check_bundle(canonical(bundle)) == bundle
    other = compiled(written_with(), {"lock_and_belt.yaml": LOCK.encode() + b"# a word more\n"})
    assert other.bundle["blocks"] != bundle["blocks"]


def test_each_member_of_a_list_brings_its_own_parts():
    two = CHOICE.replace("crank pin}", "crank pin}, {name: cam, pin: l2, label: cam pin}")
    document, _ = composed(source.read(written_with(two).encode()), with_own(FILES, library()))
    assert {"lock", "cam"} <= set(document.data["conditions"]["engine"])
    steps = {step["id"]: step for step in document.data["steps"]}
    assert steps["lock_in"]["does"] == ["lock=in", "cam=in"]
    assert steps["belt_off"]["asks"] == {"lock": "in", "cam": "in"}
    assert set(document.data["tools"]) == {"l1", "l2"}


def test_a_part_stands_only_where_its_option_is_filled_in():
    bare = compiled(written_with(f"{CHOICE}    seized: no\n")).bundle
    assert [step["fails"] for step in bare["steps"] if step["id"] == "belt_off"] == [[]]
    more = compiled(written_with(f"{CHOICE}    soak: 20 min\n")).bundle
    assert more["steps"][1]["says"][-1] == "Oil, and 20 minutes."


def test_a_count_is_said_in_a_word_and_a_word_begins_a_sentence():
    more = LOCK.replace("title: Two turns by hand", "title: '{Number locks} out, {number locks}'")
    (title,) = [
        step["title"]
        for step in compiled(written_with(), {"lock_and_belt.yaml": more.encode()}).bundle["steps"]
        if step["id"] == "two_turns"
    ]
    assert title == "One out, one"


def test_what_is_filled_in_for_all_blocks_serves_each_that_asks():
    shared = CHOICE.replace("    turned: 715 to 725.0 °\n", "fill_in:\n  turned: 715 to 725.0 °\n")
    assert parts(compiled(written_with(shared)).bundle) == parts(compiled(written_with()).bundle)


def test_a_procedure_says_a_step_of_a_block_otherwise():
    changed = """step: two_turns
    title: Twice round
    leave_out: [proof.teeth]
    asks: {lock: in}
    proof:
      - {name: turned, label: how far}
      - {name: marks, kind: photo, label: the marks}"""
    text = written_with(two_turns=changed).replace(
        "[Draw the pin", "[Photograph the marks. Draw the pin"
    )
    step = compiled(text.replace("twice.]", "twice. Photograph the marks.]")).bundle["steps"][3]
    assert (step["title"], step["number"]) == ("Twice round", "4")
    assert [proof["name"] for proof in step["proof"]] == ["turned", "felt", "marks"]
    assert (step["proof"][0]["label"], step["proof"][0]["low"]) == ("how far", "715")


def test_a_step_of_the_procedures_own_stands_between_two_of_a_block():
    own = """lock_in
  - id: look
    phase: off
    title: Look
    act: Seen
    says: [Look at the belt.]
    does: [lock=in]
  - belt_off"""
    steps = compiled(written_with(listed=own)).bundle["steps"]
    assert [(step["number"], step["id"]) for step in steps[:3]] == [
        ("1", "lock_in"),
        ("2", "look"),
        ("3", "belt_off"),
    ]


# Planted breaches: each is told at the line of the procedure, and at that of the block


@pytest.mark.parametrize(
    ("spoil", "code", "where", "in_block"),
    [
        (("725.0 °", "725.0 N·m"), "fill-in-unit", "turned:", None),
        (("715 to 725.0 °", "far"), "fill-in", "turned:", None),
        (("    turned: 715 to 725.0 °\n", ""), "missing", "lock_and_belt:", "turned: {kind"),
        (("turned: 715", "turnd: 715"), "unknown", "turnd:", None),
        (("lock_and_belt:", "lock_and_bolt:"), "unknown", "lock_and_bolt:", None),
        (("pin: l1, ", ""), "missing", "locks: [", None),
        (("locks: [", "edition: 2\n    locks: ["), "block-edition", "edition: 2", None),
        (("locks: [", "without: [sign]\n    locks: ["), "unknown", "without:", None),
        (("blocks:\n", "fill_in: {sort: red}\nblocks:\n"), "unknown", "fill_in:", None),
    ],
)
def test_what_is_filled_in_wrongly_is_told_at_both_lines(spoil, code, where, in_block):
    text = written_with(CHOICE.replace(*spoil))
    found = next(each for each in faults(text) if each.code == code)
    assert found.line == line_of(text, where)
    block = None if in_block is None else BlockLine("lock_and_belt", line_of(LOCK, in_block))
    assert found.block == block


def test_what_the_checks_find_in_a_block_is_told_at_both_lines():
    files = {
        "lock_and_belt.yaml": LOCK.replace(
            "nut=loose, belt=off]\n    fails", "nut=loos]\n    fails"
        ).encode()
    }
    text = written_with()
    (found,) = [each for each in faults(text, files) if "loos" in each.message]
    assert found.line == line_of(text, "[lock_in, belt_off]")
    assert found.block == BlockLine("lock_and_belt", line_of(LOCK, "does: [nut=loose"))
    assert "block lock_and_belt, line" in str(found)


def test_a_figure_that_the_checks_refuse_is_told_where_it_was_filled_in():
    text = written_with(CHOICE.replace("715 to 725.0", "735 to 725.0"))
    (found,) = [each for each in faults(text) if each.code == "window"]
    assert found.line == line_of(text, "turned: 735")
    assert found.block.line == line_of(LOCK, "{turned.low}")


def test_two_blocks_with_one_name_are_refused(monkeypatch):
    kept = {"lock_and_belt": with_own(FILES, {})["lock_and_belt"]}
    with pytest.raises(SourceErrors) as caught:
        with_own(FILES, kept)
    assert [each.code for each in caught.value.problems] == ["block-name"]
    with pytest.raises(SourceErrors, match="lies in a file called"):
        with_own({"other.yaml": LOCK.encode()}, {})


def test_two_blocks_that_say_one_thing_otherwise_are_refused():
    second = LOCK.replace("block: lock_and_belt", "block: again").replace("Pin in\n", "Pin\n")
    choice = CHOICE + CHOICE.replace("blocks:\n", "").replace("lock_and_belt", "again")
    found = faults(written_with(choice), {**FILES, "again.yaml": second.encode()})
    assert "blocks" in {each.code for each in found}


def test_a_ring_of_names_is_refused():
    ring = LOCK.replace(
        "says: how long the oil works}",
        "says: how long, otherwise: '{rest}'}\n"
        "  rest: {kind: words, says: rest, otherwise: '{soak}'}",
    )
    found = faults(written_with(), {"lock_and_belt.yaml": ring.encode()})
    assert ("block-ring", line_of(ring, "soak: {kind")) in {
        (each.code, each.block and each.block.line) for each in found
    }


@pytest.mark.parametrize(
    ("left_out", "hint"),
    [
        ("asks.nut", "Known here: lock."),
        ("fails.nut_siezed", "Perhaps 'nut_seized' was meant."),
        ("failures.nut_seized", "Perhaps 'fails' was meant."),
    ],
)
def test_what_a_step_lacks_cannot_be_left_out_and_what_it_has_is_named(left_out, hint):
    listed = f"[lock_in, {{step: belt_off, leave_out: {left_out}}}]"
    (found,) = faults(written_with(listed=listed))
    assert (found.message, found.hint) == (
        f"the step has no '{left_out}' that could be left out",
        hint,
    )


def test_a_word_that_another_block_brings_is_told_with_that_block():
    clutch = "block: clutch\nedition: 1\nname: Clutch\nbecause: It slips.\nconditions:\n  engine:\n"
    clutch += "    clutch: {label: clutch, values: {old: it is old, new: it is new}}\n"
    clutch += "    nut: {label: nut, values: {tight: it is tight, glued: it is glued}}\n"
    asks = LOCK.replace("asks: {'{each locks}': in}", "asks: {clutch: new, nut: glued}")
    files = {"lock_and_belt.yaml": asks.encode(), "clutch.yaml": clutch.encode()}
    told = {each.message: each.hint for each in faults(written_with(), files)}
    for message in (
        "the condition 'clutch' is not known",
        "the value of 'nut' 'glued' is not known",
    ):
        assert "comes with a block that is not taken here: clutch." in told[message]
    alone = faults(written_with(), {"lock_and_belt.yaml": asks.encode()})
    assert all(each.hint.startswith(("Known here", "Perhaps")) for each in alone)


@pytest.mark.parametrize(
    ("listed", "code"),
    [("[lock_in]", "block-step"), ("[lock_in, belt_off, lock_in]", "twice"), ("[lok]", "unknown")],
)
def test_each_step_of_a_block_stands_once_in_the_order(listed, code):
    assert code in {each.code for each in faults(written_with(listed=listed))}


def test_an_edition_that_was_withdrawn_is_a_finding():
    files = {
        "lock_and_belt.yaml": f"{LOCK}withdrawn: {{3: The pin was drawn too early.}}\n".encode()
    }
    text = written_with()
    (found,) = [
        each
        for each in prove_compiled(compiled(text, files)).findings
        if each.code == "block-withdrawn"
    ]
    assert found.line == line_of(text, "lock_and_belt:")
    assert "The pin was drawn too early." in found.message


# Blocks beside a procedure


def test_only_the_files_in_the_folder_itself_are_blocks(tmp_path):
    folder, outside = tmp_path / "mine", tmp_path / "outside"
    (folder / BLOCKS_NAME).mkdir(parents=True)
    outside.mkdir()
    (outside / "lock_and_belt.yaml").write_text(LOCK)
    (folder / "procedure.yaml").write_text(written_with())
    (folder / BLOCKS_NAME / "lock_and_belt.yaml").symlink_to(outside / "lock_and_belt.yaml")
    with pytest.raises(SourceErrors, match="no block 'lock_and_belt'"):
        load(folder)
    (folder / "procedure.yaml").write_text(
        written_with(CHOICE.replace("lock_and_belt:", "'../../outside/lock_and_belt':"))
    )
    with pytest.raises(SourceErrors, match="no block"):
        load(folder)


def test_a_procedure_written_out_needs_no_block():
    document, _ = composed(source.read(written_with().encode()), with_own(FILES, library()))
    text = written_out(document)
    assert source.read(text.encode()).data == document.data
    bundle = compile_source(text.encode(), {}, TINY_RULES).bundle
    assert parts(bundle) == parts(compiled(written_with()).bundle)


@pytest.mark.parametrize(
    "said",
    ["a: b", "a, b", "it's", '"', "\\", "- a", "-1.50", "no", "#", "a #b", "{a}", "x\ny", ""],
)
def test_a_text_is_written_so_that_it_is_read_as_it_was(said):
    for inner in (said, [said], {"key": said}, [{"key": said}]):
        node = _as_node({"whole": inner, "other": "x"})
        written = written_out(Document(node, {}))
        assert source.read(written.encode()).data["whole"] == inner


def _as_node(value, depth=0):
    if isinstance(value, str):
        return source.Text(1, 1, value)
    if isinstance(value, list):
        return source.Items(1, 1, [_as_node(each, depth + 1) for each in value], is_flow=depth > 0)
    keys = {word: source.Text(1, 1, word) for word in value}
    values = {word: _as_node(each, depth + 1) for word, each in value.items()}
    return source.Mapping(1, 1, values, keys, is_flow=depth > 1)
