"""
Every named figure of the trade and of the instruments says where it is from, in both languages.

That is a source (`S3` is row 3 of the sources in the module's opening), `chosen` and why, or `by
definition`; never memory. `tests/figures.py` says which numbers need none. A figure of the phone
may leave it to its twin on the server: the constant of the same name, with the same numbers.
"""

import re
from pathlib import Path

import pytest

from figures import Figure, is_plain, of_python, of_typescript

ROOT = Path(__file__).resolve().parents[2]
ROOMS = ("trade", "instruments")
SERVER = [path for room in ROOMS for path in (ROOT / "server/twoturns" / room).glob("*.py")]
PHONE = [path for room in ROOMS for path in (ROOT / "client/src" / room).glob("*.ts")]

WHERE_FROM = re.compile(r"\bS\d+\b|\b[Cc]hosen\b|\b[Bb]y definition\b")
TWINS = {(figure.name, figure.numbers) for path in SERVER for figure in of_python(path)}


def of(path: Path) -> list[Figure]:
    return of_python(path) if path.suffix == ".py" else of_typescript(path)


@pytest.mark.parametrize("path", sorted([*SERVER, *PHONE]), ids=lambda path: path.name)
def test_every_figure_says_where_it_is_from(path):
    of_twin = TWINS if path.suffix == ".ts" else set()
    bare = [
        f"{path.relative_to(ROOT)}:{figure.line} {figure.name} {figure.beside}"
        for figure in of(path)
        if not WHERE_FROM.search(figure.beside) and (figure.name, figure.numbers) not in of_twin
    ]
    assert bare == []


@pytest.mark.parametrize("path", sorted([*SERVER, *PHONE]), ids=lambda path: path.name)
def test_every_source_that_is_named_is_listed_and_none_is_memory(path):
    text = path.read_text()
    opening, *rest = re.split(r'"""|\*/', text.removeprefix('"""'), maxsplit=1)
    named = {each for figure in of(path) for each in re.findall(r"\bS\d+\b", figure.beside)}
    listed = set(re.findall(r"\bS\d+\b", opening)) if rest else set()
    assert named <= listed
    assert "from memory" not in text


def test_there_are_figures():
    """That the two above look at something: some hundred on the server, most of them twins."""
    assert len(TWINS) > 90
    on_the_phone = [(each.name, each.numbers) for path in PHONE for each in of_typescript(path)]
    assert len(set(on_the_phone) & TWINS) > 50


@pytest.mark.parametrize(
    ("python", "typescript"),
    [
        ("LEAST = 25\n", "const LEAST = 25\n"),
        (
            "# Of the one before.\nOTHER = 0\nLEAST = 25\n",
            "/** Of that. */\nconst A = 0\nconst LEAST = 25\n",
        ),
        ("_LEAST: Final = {\n    1: 2.5,\n}\n", "export const LEAST: Range = [\n  1,\n  2.5,\n]\n"),
        ("LEAST = 3 * OTHER\n", "const LEAST = 0xfffe\n"),
    ],
)
def test_a_bare_figure_is_found(tmp_path, python, typescript):
    for name, text in (("bare.py", python), ("bare.ts", typescript)):
        (tmp_path / name).write_text(text)
        (figure,) = of(tmp_path / name)
        assert (figure.name, WHERE_FROM.search(figure.beside)) == ("LEAST", None)


@pytest.mark.parametrize(
    ("python", "typescript"),
    [
        ("LEAST = 25  # S1: of a belt\n", "const LEAST = 25 // S1: of a belt\n"),
        (
            "#: Chosen: why.\n#: And more.\nLEAST = 25\n",
            "/**\n * Chosen: why.\n */\nconst LEAST = 25\n",
        ),
        (
            "LEAST = (\n    1,  # chosen: a\n    25,\n)\n",
            "const LEAST = [\n  1, // chosen: a\n  25,\n]\n",
        ),
    ],
)
def test_a_figure_with_its_source_is_let_go(tmp_path, python, typescript):
    for name, text in (("sourced.py", python), ("sourced.ts", typescript)):
        (tmp_path / name).write_text(text)
        (figure,) = of(tmp_path / name)
        assert WHERE_FROM.search(figure.beside)


def test_what_is_no_figure():
    assert all(is_plain(each) for each in (0, 1, 2, -1, 10, 1000, 1_000_000, 0.01, 1e-14))
    assert not any(is_plain(each) for each in (3, 20, 0.5, 4000, 1.5e3))


def test_strings_and_patterns_hold_no_figures(tmp_path):
    file = tmp_path / "text.ts"
    file.write_text("const TEXT = '25 of them'\nconst SHAPE = /^(?:17|21)$/\nconst two = 25\n")
    assert of_typescript(file) == []
