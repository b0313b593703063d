"""The command `procedure blocks`: what a block asks for, and what a withdrawn one is in."""

from click.testing import CliRunner

from procedure_folder import with_reasons
from tiny_block import LOCK, written_with
from twoturns.cli import main
from twoturns.procedure.blocks.library import library, with_own
from twoturns.procedure.compile.bundle import load
from twoturns.store.bundles import publish
from workshop import NOON


def run(*words):
    result = CliRunner().invoke(main, ["procedure", "blocks", *map(str, words)])
    return result.exit_code, result.output


def test_each_block_is_listed_and_one_tells_what_it_asks_for(tmp_path):
    code, printed = run("--data", tmp_path / "none")
    assert code == 0
    assert all(f"{name}, edition " in printed for name in library())
    code, printed = run("engine_mount", "--data", tmp_path / "none")
    assert (code, "mount_torque (figure, N·m)" in printed) == (0, True)
    assert "mount (words, may be left out)" in printed
    code, printed = run("engine_mont", "--data", tmp_path / "none")
    assert (code, "Perhaps 'engine_mount' was meant." in printed) == (1, True)


def test_the_text_of_one_is_printed_with_the_lines_that_faults_name(tmp_path):
    code, printed = run("tensioner", "--full", "--data", tmp_path / "none")
    lines = library()["tensioner"].text.splitlines()
    at = lines.index("      - id: pointer_moved") + 1
    assert (code, f"{at:4}        - id: pointer_moved" in printed.splitlines()) == (0, True)
    code, printed = run("--full", "--data", tmp_path / "none")
    assert (code, "name one block with --full" in printed) == (2, True)


def test_a_withdrawn_edition_names_what_was_made_with_it(workshop, tmp_path, monkeypatch):
    folder = tmp_path / "mine"
    (folder / "blocks").mkdir(parents=True)
    (folder / "procedure.yaml").write_text(with_reasons(written_with()))
    (folder / "blocks" / "lock_and_belt.yaml").write_text(LOCK)
    bundle = load(folder)
    publish(workshop.store, bundle, NOON)
    mended = f"{LOCK}withdrawn: {{3: The pin was drawn too early.}}\n".replace(
        "edition: 3", "edition: 4"
    )
    kept = with_own({"lock_and_belt.yaml": mended.encode()}, {})
    monkeypatch.setattr("twoturns.cli.procedure.blocks.library", lambda: kept)
    code, printed = run("--data", workshop.store.folder)
    assert code == 0
    assert "lock_and_belt, edition 4" in printed
    assert "Edition 3 is withdrawn: The pin was drawn too early." in printed
    assert (
        f"Withdrawn edition 3 is in: A tiny drive, edition 1, bundle {bundle.sha256[:12]}"
        in printed
    )
