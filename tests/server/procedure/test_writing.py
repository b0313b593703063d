"""
The tutorial, run: its files are written and its commands called as a reader would, in order, and
each says what the page says it does.
"""

import re
import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner

from twoturns.cli import main

pytestmark = pytest.mark.slow(6)
PAGE = Path(__file__).resolve().parents[3] / "server" / "docs" / "writing.md"
FENCES = re.findall(r"^```([a-z-]+)\n(.*?)^```$", PAGE.read_text(), re.MULTILINE | re.DOTALL)
SOURCE = Path("pelling") / "procedure.yaml"
MOST_LINES = 250


def parts_of(text):
    """The source by its words at the beginning of a line, what stands before the first under ''."""
    parts = re.split(r"^(?=[a-z_]+:)", text, flags=re.MULTILINE)
    return {part.partition(":")[0]: part for part in parts}


def replaced(part):
    word, parts = part.partition(":")[0], parts_of(SOURCE.read_text())
    SOURCE.write_text("".join({**parts, word: part}.values()))


def changed(pair):
    old, new = pair.removesuffix("\n").split("\n")
    changed_all(f"{old.strip()} -> {new.strip()}")


def changed_all(lines):
    text = SOURCE.read_text()
    for line in lines.strip().splitlines():
        old, new = line.split(" -> ")
        assert old in text, f"{old!r} does not stand in the procedure"
        text = text.replace(old, new)
    SOURCE.write_text(text)


def added_to_steps(more):
    parts = parts_of(SOURCE.read_text())
    parts["steps"] = f"{parts['steps'].rstrip()}\n{more}"
    SOURCE.write_text("".join(parts.values()))


def called(commands):
    said = ""
    for line in commands.strip().splitlines():
        program, *words = shlex.split(line)
        assert program == "twoturns"
        result = CliRunner().invoke(main, words)
        assert result.exception is None or isinstance(result.exception, SystemExit), line
        said += result.output
    return said


WRITES = {
    "yaml": replaced,
    "more": added_to_steps,
    "change": changed,
    "change-all": changed_all,
}


def test_the_tutorial_leads_to_a_proven_procedure_and_says_what_happens(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    said = ""
    for kind, text in FENCES:
        if kind == "sh":
            said = called(text)
        elif kind == "says":
            for line in text.strip().splitlines():
                assert line in said, f"{line}\n\nwas not said, but:\n\n{said}"
        else:
            WRITES[kind](text)
    assert len(SOURCE.read_text().splitlines()) <= MOST_LINES
