"""Bundles: bytes that are the same everywhere, and a door that opens to nothing else."""

import json
import re
from pathlib import Path

import pytest
import rfc8785

from tiny_procedure import TINY_SOURCE
from twoturns.ledger import canonical as ledger_canonical
from twoturns.procedure import shape
from twoturns.procedure.compile import typescript
from twoturns.procedure.compile.bundle import Bundle, canonical, check_bundle, load, outline
from twoturns.procedure.errors import BundleError, NewerForm, SourceErrors

ROOT = Path(__file__).parents[4]
# Stands in for a picture: a bundle names bytes by their hash and never looks into them.
PICTURE = b"\x89PNG\r\n\x1a\n not decoded here"


@pytest.fixture
def folder(tmp_path):
    # The house rules want their own words for a pin and a nut; the tiny procedure is then silent.
    text = TINY_SOURCE.replace("drive:\n", "assets: [notch.png]\ndrive:\n")
    text = text.replace("turn_crank, ", "")
    for word in ("belt", "turns"):  # the house rules use these names with other values
        text = text.replace(f"{word}:", f"my_{word}:").replace(f"{word}=", f"my_{word}=")
        text = text.replace(f" {word}\n", f" my_{word}\n").replace(f"[{word}]", f"[my_{word}]")
    text = text.replace("condition: belt", "condition: my_belt").replace(
        "  my_belt: {teeth", "  belt: {teeth"
    )
    (tmp_path / "procedure.yaml").write_text(text)
    (tmp_path / "notch.png").write_bytes(PICTURE)
    (tmp_path / "notes.txt").write_text("no part of the bundle")
    return tmp_path


@pytest.fixture
def bundle(folder) -> Bundle:
    return load(folder)


def changed(bundle, change):
    """The bundle's bytes after a change, canonical again."""
    data = json.loads(bundle.canonical)
    change(data)
    return canonical(data)


def refused(data, held=None):
    with pytest.raises(BundleError) as error:
        check_bundle(data, held)
    return error.value


def test_the_bytes_are_those_of_another_program_and_of_the_ledger(bundle):
    assert bundle.canonical == rfc8785.dumps(bundle.bundle)
    assert ledger_canonical.dumps(bundle.bundle) == bundle.canonical
    assert ledger_canonical.loads(bundle.canonical) == bundle.bundle


def test_the_vans_bundle_is_canonical_to_the_ledger_too():
    van = load(Path(__file__).parents[4] / "demo_jobs" / "van-timing-drive")
    assert ledger_canonical.loads(van.canonical) == van.bundle


def test_a_folder_compiles_to_the_same_bytes_again(bundle, folder):
    assert load(folder).sha256 == bundle.sha256


def test_a_picture_is_named_by_its_hash(bundle):
    (asset,) = bundle.bundle["assets"]
    assert bundle.assets == {"notch.png": PICTURE}
    assert asset["type"] == "image/png"
    assert check_bundle(bundle.canonical, held={asset["blob"]}) == bundle.bundle


def test_a_step_shows_a_picture_that_travels_and_no_other(folder):
    source = (folder / "procedure.yaml").read_text()
    shown = """    picture:
      asset: notch.png
      crop: {left_percent: 10, top_percent: 20, width_percent: 50, height_percent: 40}
      arrow: {x_percent: 35, y_percent: 40, angle_deg: 270}
      says: Notch at six o'clock
    act: Pin slides home
"""
    (folder / "procedure.yaml").write_text(source.replace("    act: Pin slides home\n", shown))
    bundle = load(folder)
    (picture,) = (step["picture"] for step in bundle.bundle["steps"] if "picture" in step)
    assert picture == {
        "asset": "notch.png",
        "crop": {
            "left_percent": 10,
            "top_percent": 20,
            "width_percent": 50,
            "height_percent": 40,
        },
        "arrow": {"x_percent": 35, "y_percent": 40, "angle_deg": 270},
        "says": "Notch at six o'clock",
    }
    error = refused(changed(bundle, lambda data: data["assets"].clear()))
    assert "not among its assets" in str(error)


def test_a_bundle_whose_picture_is_not_at_hand_is_refused(bundle):
    check_bundle(bundle.canonical)  # that its form is right is remembered, and this is not
    error = refused(bundle.canonical, held=set())
    assert error.code == "picture-missing"
    assert "notch.png" in str(error)


def test_a_missing_picture_is_found_at_its_line(folder):
    (folder / "notch.png").unlink()
    with pytest.raises(SourceErrors) as error:
        load(folder)
    (found,) = error.value.problems
    assert found.code == "picture-missing"
    line = (folder / "procedure.yaml").read_text().splitlines()[found.line - 1]
    assert line.startswith("assets:")


def test_a_folder_without_a_source_is_no_procedure(tmp_path):
    with pytest.raises(BundleError) as error:
        load(tmp_path)
    assert error.value.code == "no-source"


@pytest.mark.parametrize(
    "spoil",
    [
        lambda data: data + b"\n",
        lambda data: data.replace(b'"edition":1', b'"edition": 1'),
        lambda data: data.replace(b'"edition":1', b'"edition":1.0'),
        lambda data: data.replace(b'"edition":1', b'"edition":1,"edition":1'),
        lambda data: data.replace(b'"edition":1', b'"edition":NaN'),
        lambda data: data.replace(b"A tiny drive", b"A tiny\\u0020drive"),
        lambda data: data.replace(b"A tiny drive", b"A tiny \\ud800 drive"),
        lambda data: data.replace(b"A tiny drive", "A tin\u0079\u0308 drive".encode()),
        lambda data: data.replace(b"A tiny drive", b"A tiny \xff drive"),
        lambda data: data[:-1],
        lambda data: b"[" * 100_000,
    ],
)
def test_bytes_that_are_not_canonical_are_refused(bundle, spoil):
    spoiled = spoil(bundle.canonical)
    assert spoiled != bundle.canonical
    assert refused(spoiled).code == "not-canonical"


def set_at(*path):
    *way, last, value = path

    def change(data):
        for part in way:
            data = data[part]
        data[last] = value

    return change


@pytest.mark.parametrize(
    ("change", "code"),
    [
        (set_at("edition", "1"), "bundle-form"),
        (set_at("v", shape.FORM + 1), "bundle-newer"),
        (set_at("v", 0), "bundle-form"),
        (set_at("more", 1), "bundle-newer"),
        (set_at("steps", 0, "undo", "no"), "bundle-form"),
        (set_at("steps", 0, "more", 1), "bundle-newer"),
        (set_at("machine", "steps", 0, "guard", [[0]]), "bundle-form"),
        (set_at("machine", "steps", 0, "guard", [[0, -1]]), "bundle-form"),
        (set_at("machine", "steps", 0, "guard", [[9, 1]]), "bundle-machine"),
        (set_at("machine", "steps", 0, "guard", [[0, 4]]), "bundle-machine"),
        (set_at("machine", "steps", 0, "effect", [[0, 2]]), "bundle-machine"),
        (set_at("machine", "steps", 0, "rules", [{"rule": 99, "guard": []}]), "bundle-machine"),
        (set_at("machine", "steps", 1, "fails", 0, "look", [9]), "bundle-machine"),
        (set_at("machine", "steps", 0, "id", "other"), "bundle-machine"),
        (set_at("machine", "steps", 0, "must", False), "bundle-machine"),
        (set_at("machine", "conditions", 0, "start", 1), "bundle-machine"),
        (set_at("machine", "makers", [[0, 1, [99]]]), "bundle-machine"),
        (set_at("machine", "makers", [[0, 1]]), "bundle-machine"),
        (set_at("machine", "rests", [[0, [9]]]), "bundle-machine"),
        (set_at("machine", "ends", 0, "id", "other"), "bundle-machine"),
    ],
)
def test_a_bundle_of_another_form_is_refused(bundle, change, code):
    error = refused(changed(bundle, change))
    assert error.code == code
    assert error.hint


def test_a_bundle_larger_than_any_procedure_is_refused_unread():
    assert refused(b" " * (4 * 1024 * 1024 + 1)).code == "too-large"


def test_what_is_wrong_besides_is_told_though_a_newer_program_may_have_compiled_it(bundle):
    def wrong(data):
        data["more"] = 1
        data["steps"][0]["undo"] = "no"

    assert refused(changed(bundle, wrong)).code == "bundle-form"


def test_of_a_newer_bundle_one_knows_what_passing_it_on_needs(bundle):
    data = changed(bundle, set_at("v", shape.FORM + 1))
    (asset,) = bundle.bundle["assets"]
    assert outline(data) == {"id": bundle.bundle["id"], "assets": [asset]}
    with pytest.raises(BundleError):
        outline(changed(bundle, set_at("assets", 0, "blob", "../x")))


def test_the_phones_list_of_fields_is_that_of_the_form():
    """If this fails: python -m twoturns.procedure.compile.typescript, in server/."""
    assert typescript.FILE.read_text(encoding="utf-8") == typescript.source()


def objects_in(value, path=()):
    """Every object of a bundle, by the way to it; the drawing decides nothing and is not known."""
    if isinstance(value, dict):
        yield path
    inner = value.items() if isinstance(value, dict) else enumerate(value)
    for name, each in inner:
        if isinstance(each, dict | list) and (*path, name) != ("drive",):
            yield from objects_in(each, (*path, name))


def test_phone_and_workshop_agree_on_what_only_a_newer_one_knows(bundle, peer):
    """Wherever a field is added, and when nothing is."""
    ways = list(objects_in(bundle.bundle))
    assert len(ways) > 50
    texts = [bundle.canonical, *(changed(bundle, set_at(*way, "more", 1)) for way in ways)]
    texts.append(changed(bundle, set_at("v", shape.FORM + 1)))
    here = []
    for data in texts:
        try:
            here.append(bool(check_bundle(data)))
        except NewerForm:
            here.append(False)
    assert here == [True, *[False] * (len(ways) + 1)]
    assert peer.calls("knowsBundle", [[data.decode()] for data in texts]) == here


def test_the_text_of_the_format_names_every_member_of_the_shape():
    text = (ROOT / "server" / "docs" / "formats.md").read_text()
    section = text[text.index("The bundle is canonical JSON") : text.index("### Fold")]
    for of in dict.fromkeys(typescript._parts(shape.Bundle)):
        for member in of.__annotations__:
            assert f'"{member}"' in section, f"{of.__name__}.{member}"


def test_the_types_keep_what_may_be_absent_null_or_nothing_else():
    """Against the text: `"torque":{"nm":decimal,"angle_deg":decimal?`, `"together":name|null`."""
    source = typescript.source()
    torque = re.search(r"export interface Torque \{.*?\}", source, re.DOTALL)[0]
    assert torque.splitlines()[1:3] == ["  nm: string", "  angle_deg?: string"]
    assert "  together: string | null" in source
    assert "  kind: 'stop' | 'ask'" in source
    assert "  in: readonly [number, number]" in source
    assert "  makers: readonly (readonly [number, number, readonly number[]])[]" in source


def test_a_torque_says_how_much(bundle):
    def without(data):
        data["steps"][0]["torque"] = {"sequence": []}

    with pytest.raises(BundleError, match="nm: Missing"):
        check_bundle(changed(bundle, without))
