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
MOST_LINES = 250


def parts_of(text):
    """The source by its words at the beginning of a line, what stands before the first under ''."""
    parts = re.split(r"^(?=[a-z_]+:)", text, flags=re.MULTILINE)
    return {part.partition(":")[0]: part for part in parts}


def replaced(source, part):
    word, parts = part.partition(":")[0], parts_of(source.read_text())
    source.write_text("".join({**parts, word: part}.values()))


def changed(source, pair):
    old, new = pair.removesuffix("\n").split("\n")
    changed_all(source, f"{old.strip()} -> {new.strip()}")


def changed_all(source, lines):
    text = source.read_text()
    for line in lines.strip().splitlines():
        old, new = line.split(" -> ")
        assert old in text, f"{old!r} does not stand in the procedure"
        text = text.replace(old, new)
    source.write_text(text)


def added_to_steps(source, more):
    parts = parts_of(source.read_text())
    parts["steps"] = f"{parts['steps'].rstrip()}\n{more}"
    source.write_text("".join(parts.values()))


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


def test_the_tutorial_leads_to_proven_procedures_and_says_what_happens(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    said, source = "", Path()
    for kind, text in FENCES:
        if kind == "sh":
            said = called(text)
            begun = re.search(r"procedure new (\w+)", text)
            source = Path(begun[1]) / "procedure.yaml" if begun else source
        elif kind == "says":
            for line in text.strip().splitlines():
                assert line in said, f"{line}\n\nwas not said, but:\n\n{said}"
        else:
            WRITES[kind](source, text)
    for begun in ("pelling", "plover"):
        assert len((Path(begun) / "procedure.yaml").read_text().splitlines()) <= MOST_LINES
