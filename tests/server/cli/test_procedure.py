"""The commands for the author of a procedure: what they print, for people and for programs."""

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from demo_procedures import states_of
from procedure_folder import proved_folder, tiny_text
from procedure_walk import Walker
from twoturns.cli import main
from twoturns.procedure.compile.compiler import compile_source

DEMOS = Path(__file__).parents[3] / "demo_jobs"
VAN = DEMOS / "van-timing-drive"


@pytest.fixture
def folder(tmp_path):
    return proved_folder(tmp_path / "tiny")


def run(*words):
    result = CliRunner().invoke(main, ["procedure", *map(str, words)])
    assert result.exception is None or isinstance(result.exception, SystemExit), words
    return result.exit_code, result.stdout


def write(folder, old, new):
    text = tiny_text()
    assert text.count(old) == 1
    (folder / "procedure.yaml").write_text(text.replace(old, new))
    return text.replace(old, new).splitlines()


def test_a_proved_procedure_is_told_in_a_few_lines(folder):
    code, printed = run("check", folder)
    assert code == 0
    assert printed.startswith("tiny: A tiny drive, edition 1\n5 steps, 1 way back, 0 pictures")
    assert "9 states walked" in printed
    assert re.search(r"\nProved: \d+ house rules hold", printed)
    assert "'2 Belt off' comes again after it failed: The nut does not move." in printed
    assert "Finding" not in printed


def test_a_finding_is_told_with_its_line_what_to_do_and_the_way_there(folder):
    lines = write(folder, "asks: {lock: out}", "asks: {lock: out, belt: old}")
    code, printed = run("check", folder)
    line = lines.index("  - id: sign") + 1
    assert code == 1
    assert f", line {line} (never-open)\n  '5 Timing proved' is never open.\n" in printed
    assert "Proved" not in printed
    told = printed.partition("(not-straight)")[2]
    assert (
        "  Shortest way there:\n    1 Pin in, and on in the listed order to\n"
        "    4 Two turns by hand\n" in told
    )


def test_no_name_of_a_step_is_printed_as_a_way(folder):
    write(folder, "asks: {lock: out}", "asks: {lock: out, belt: old}")
    printed = run("check", folder)[1]
    assert not re.search(r"^ {4}[a-z_]+$", printed, re.MULTILINE)


def test_programs_get_exactly_what_was_agreed(folder):
    code, printed = run("check", folder, "--json")
    report = json.loads(printed)
    assert code == 0
    assert list(report) == [
        "ok",
        "states",
        "transitions",
        "rules_proven",
        "findings",
        "weight",
    ]
    assert (report["ok"], report["states"], report["findings"]) == (True, 9, [])
    machine = compile_source(tiny_text().encode(), {}).bundle["machine"]
    assert report["transitions"] == states_of(Walker(machine))[1]
    assert report["rules_proven"] > 0
    assert (report["weight"]["touches"], report["weight"]["photos"]) == (12, 1)
    heaviest = report["weight"]["steps"][0]
    assert (heaviest["step"], heaviest["characters"]) == ("two_turns", 7)


def test_what_the_job_weighs_in_the_hand_is_told_a_line_each(folder):
    told = run("check", folder)[1].partition("The straight job asks of the phone\n")[2]
    assert told.splitlines()[:7] == [
        "  12 touches",
        "  5 holds",
        "  1 photo",
        "  7 typed characters",
        "  0 minutes of waiting",
        "  The heaviest steps, by touches, holds and characters:",
        "    13 at 4 Two turns by hand",
    ]


def test_programs_get_findings_with_line_and_sequence(folder):
    write(folder, "    does: [lock=in, nut=loose, belt=off]\n", "    does: [turn_crank]\n")
    code, printed = run("check", folder, "--json")
    report = json.loads(printed)
    assert (code, report["ok"]) == (1, False)
    assert all(
        list(found) == ["code", "rule", "line", "says", "sequence"] for found in report["findings"]
    )
    lines = write(folder, "    does: [lock=out, turn_crank", "    does: [turn_crank, lock=out")
    own = (
        "rules:\n  no_pin: {kind: stop, never: Turn it, doing: [turn_crank], unless: {lock: out}, "
        "because: No.}\nsteps:\n"
    )
    text = "\n".join(lines).replace("steps:\n", own, 1)
    (folder / "procedure.yaml").write_text(text)
    (found,) = json.loads(run("check", folder, "--json")[1])["findings"]
    assert (found["code"], found["rule"]) == ("rule-broken", "no_pin")
    assert text.splitlines()[found["line"] - 1] == "  - id: two_turns"
    assert found["sequence"] == ["1 Pin in", "2 Belt off", "3 New belt on", "4 Two turns by hand"]


def test_programs_get_the_faults_of_a_source_that_does_not_compile(folder, tmp_path):
    lines = write(folder, "asks: {lock: in}\n    does: [nut", "asks: {lok: in}\n    does: [nut")
    code, printed = run("check", folder, "--json")
    report = json.loads(printed)
    assert (code, report["ok"], report["states"], report["weight"]) == (1, False, 0, None)
    (found,) = report["findings"]
    assert (found["code"], found["sequence"]) == ("unknown", [])
    assert "lok" in lines[found["line"] - 1]
    (tmp_path / "empty").mkdir()
    code, printed = run("check", tmp_path / "empty", "--json")
    assert (code, json.loads(printed)["findings"][0]["code"]) == (1, "no-source")


@pytest.mark.parametrize("command", ["check", "publish"])
def test_a_check_that_is_stopped_says_that_nothing_is_proved(folder, command, monkeypatch):
    def stop(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr("twoturns.cli.procedure.proof.prove_adapted", stop)
    result = CliRunner().invoke(main, ["procedure", command, str(folder)])
    assert result.exit_code == 1
    assert "nothing is proved, and nothing was changed" in result.stderr


def test_check_loads_neither_the_web_nor_the_store():
    """They are half a second, each time: `preview` beside it needs them."""
    asked = "main(['procedure', 'check', '--help'], standalone_mode=False)"
    code = f"import sys; from twoturns.cli import main; {asked}; print(*sys.modules)"
    said = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    loaded = set(said.stdout.split())
    assert "twoturns.cli.procedure.check" in loaded
    assert not loaded & {"flask", "sqlite_utils", "twoturns.store.store", "twoturns.web.app"}
