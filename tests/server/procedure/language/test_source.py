"""The strict reader of sources: all is text, all has its place, tricks are refused."""

import random
import time
from pathlib import Path

import pytest
import yaml

from twoturns.procedure.errors import SourceErrors
from twoturns.procedure.language import source


def refused(text):
    with pytest.raises(SourceErrors) as error:
        source.read(text if isinstance(text, bytes) else text.encode())
    return error.value.problems


@pytest.mark.parametrize(
    "written",
    ["26.50", "0x1F", "1_000", "no", "off", "on", "yes", "null", "~", "2026-11-24", "1e3"],
)
def test_a_scalar_stays_the_text_that_was_written(written):
    assert source.read(f"a: {written}\n".encode()).data == {"a": written}


def test_quotes_and_blocks_are_text_too():
    read = source.read(b"a: 'x: y'\nb: |\n  two\n  lines\nc:\n")
    assert read.data == {"a": "x: y", "b": "two\nlines\n", "c": ""}


def place_of(node):
    return node.line, node.column


def test_every_part_keeps_its_line_and_column():
    read = source.read(b"steps:\n  - id: one\n    proof:\n      - {name: x}\n")
    assert place_of(read.node(("steps", 0, "id"))) == (2, 9)
    assert place_of(read.node(("steps", 0, "id"), key=True)) == (2, 5)
    assert place_of(read.node(("steps", 0, "proof", 0, "name"))) == (4, 16)


def test_a_path_that_does_not_exist_stands_where_it_is_missing():
    assert place_of(source.read(b"steps:\n  - id: one\n").node(("steps", 0, "title"))) == (2, 5)


def test_text_is_brought_to_the_one_form_that_a_bundle_allows():
    decomposed = "a: Zu\u0308ndung\n".encode()
    assert source.read(decomposed).data == {"a": "Z\u00fcndung"}


@pytest.mark.parametrize(
    ("text", "code", "place"),
    [
        ("a: 1\nb: &x 2\n", "alias", (2, 4)),
        ("a: 1\nb: *x\n", "alias", (2, 4)),
        ("a: !!int 1\n", "tag", (1, 4)),
        ("a: !thing {}\n", "tag", (1, 4)),
        ("a: 1\nb: 2\na: 3\n", "twice", (3, 1)),
        ("a: 1\n---\nb: 2\n", "documents", (2, 1)),
        ("? [a, b]\n: 1\n", "key", (1, 3)),
        ("a: b: c\n", "not-yaml", (1, 5)),
        ("a: [1, 2\nb: 3\n", "not-yaml", (2, 2)),
        ("a: \x07\n", "not-yaml", (1, 1)),
        ("- a\n", "not-a-mapping", (1, 1)),
        ("", "not-a-mapping", (1, 1)),
        (b"a: 1\nb: \xff\n", "not-utf-8", (2, 4)),
        ("a: " + "[" * 13 + "]" * 13 + "\n", "too-deep", (1, 15)),
    ],
)
def test_it_refuses_and_says_where(text, code, place):
    found = refused(text)[0]
    assert (found.code, (found.line, found.column)) == (code, place)
    assert found.hint


def test_every_trick_is_told_not_only_the_first():
    assert [each.code for each in refused("a: &x 1\nb: *x\na: 2\n")] == ["alias", "alias", "twice"]


def test_a_bomb_of_aliases_is_refused_before_it_unfolds():
    bomb = "a: &a [x,x,x,x,x,x,x,x,x]\n"
    for name, of in zip("bcdefgh", "abcdefg", strict=True):
        bomb += f"{name}: &{name} [{','.join([f'*{of}'] * 9)}]\n"
    began = time.process_time()
    assert {each.code for each in refused(bomb)} == {"alias"}
    assert time.process_time() - began < 1


def test_too_much_is_refused_unread():
    (found,) = refused(b"a: " + b"x" * source.MOST_BYTES)
    assert found.code == "too-large"


def test_a_mark_of_byte_order_is_no_part_of_the_first_key():
    assert source.read(b"\xef\xbb\xbfa: 1\n").data == {"a": "1"}


DEMO = Path(__file__).parents[4] / "demo_jobs" / "roadside-auxiliary-belt" / "procedure.yaml"


def pieces():
    """Some lines of a demo each, spoilt by signs that YAML gives a meaning."""
    chance, lines = random.Random(7), DEMO.read_text().splitlines(keepends=True)
    for _ in range(1500):
        first = chance.randrange(len(lines) - 8)
        text = "".join(lines[first : first + chance.randrange(1, 8)])
        for _ in range(chance.randrange(3)):
            at = chance.randrange(len(text))
            text = (
                text[:at]
                + chance.choice(" :-#{}[]'\"|>&*!%@`,\t\nab?~\u2028\x85\ufeff")
                + text[at:]
            )
        yield text.encode()


def read_or_told(text):
    try:
        return source.read(text)
    except SourceErrors as errors:
        return [(each.line, each.column, each.code, str(each)) for each in errors.problems]


@pytest.mark.skipif(not yaml.__with_libyaml__, reason="this PyYAML was built without libyaml")
def test_both_parsers_read_the_same_and_refuse_the_same(monkeypatch):
    """What one machine takes, another takes: with libyaml or without."""
    texts = [DEMO.read_bytes(), b"a: |# b\nc: >-2#d\n", *pieces()]
    fast = [read_or_told(text) for text in texts]
    monkeypatch.delattr(yaml, "CSafeLoader")
    assert [
        text for text, read in zip(texts, fast, strict=True) if read_or_told(text) != read
    ] == []
    assert {isinstance(read, list) for read in fast} == {True, False}
