"""
Every exception from a linter or type checker has its reason beside it.

In code: `# noqa: E501 - why`, `# type: ignore[arg-type]  # why`, `biome-ignore lint/...: why`,
`@ts-expect-error why`. In `pyproject.toml` and `.biome.jsonc`: a comment on the line that names
what is off.
"""

import itertools
import re
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]

# What lets something pass, and the same with a reason, of two words at the least.
MARKS = {
    ".py": r"#\s*noqa\b|#\s*type:\s*ignore\b|#\s*pragma:\s*no cover",
    ".ts": r"biome-ignore|@ts-(?:expect-error|ignore|nocheck)|eslint-disable|prettier-ignore",
}
WITH_REASON = {
    ".py": r"# noqa: [A-Z]+\d+(?:, [A-Z]+\d+)* - (?P<why>.+)"
    r"|# type: ignore\[[a-z, -]+\]  # (?P<so>.+)",
    ".ts": r"biome-ignore \S+: (?P<why>.+)|@ts-expect-error (?P<so>.+)",
}
FOLDERS = ("server/twoturns", "server/hatch_build.py", "client", "tests", "demo_jobs")


def files() -> list[Path]:
    found = [path for folder in FOLDERS for path in [ROOT / folder, *(ROOT / folder).rglob("*.*")]]
    return [
        path
        for path in found
        if path.suffix in (".py", ".ts", ".tsx", ".js", ".mjs")
        and not {"node_modules", "static", ".peer"} & set(path.parts)
        and path != Path(__file__)
    ]


def bare(name: str, text: str) -> list[str]:
    """Return the lines that let something pass without saying why."""
    kind = ".py" if name.endswith(".py") else ".ts"
    marks, reason = re.compile(MARKS[kind]), re.compile(WITH_REASON[kind])
    found = []
    for at, line in enumerate(text.splitlines(), start=1):
        for mark in marks.finditer(line):
            match = reason.match(line, mark.start())
            why = (match["why"] or match["so"] or "") if match else ""
            if len(re.findall(r"\w+", why)) < 2:
                found.append(f"{name}:{at}: {line.strip()}")
    return found


def bare_settings(text: str) -> list[str]:
    """Return the rules and checks that `pyproject.toml` turns off without saying why."""
    tool = tomllib.loads(text)["tool"]
    lint = tool["ruff"]["lint"]
    rules = [*lint["ignore"], *itertools.chain(*lint["per-file-ignores"].values())]
    checks = [key for table in tool["mypy"]["overrides"] for key in table.keys() - {"module"}]
    said = [line for line in text.partition("\nignore = [")[2].splitlines() if "  # " in line]
    return [
        each
        for each, written in [
            *((rule, f'"{rule}"') for rule in rules),
            *((key, key) for key in checks),
        ]
        if not any(written in line.partition("  # ")[0] for line in said)
    ]


def test_every_exception_in_the_code_says_why():
    found = [
        line
        for path in files()
        for line in bare(str(path.relative_to(ROOT)), path.read_text(encoding="utf-8"))
    ]
    assert found == []
    assert len(files()) > 500


def test_every_rule_that_is_off_says_why():
    assert bare_settings((ROOT / "pyproject.toml").read_text()) == []
    off = re.findall(r'^.*"off".*$', (ROOT / ".biome.jsonc").read_text(), re.MULTILINE)
    assert [line for line in off if not re.search(r"//\W*\w+\W+\w+", line)] == []
    assert off


@pytest.mark.parametrize(
    ("name", "line"),
    [
        ("a.py", "import x  # noqa: E402"),
        ("a.py", "import x  # noqa"),
        ("a.py", "import x  # noqa: E402 - because"),
        ("a.py", "x = y()  # type: ignore[arg-type]"),
        ("a.py", "x = y()  # type: ignore"),
        ("a.tsx", "// @ts-expect-error"),
        ("a.ts", "// @ts-ignore it is so"),
        ("a.ts", "// biome-ignore lint/style/useConst"),
    ],
)
def test_a_bare_exception_is_found(name, line):
    assert bare(name, f"one()\n{line}\n") == [f"{name}:2: {line}"]


@pytest.mark.parametrize(
    ("name", "line"),
    [
        ("a.py", "import x  # noqa: E402 - the path comes first"),
        ("a.py", "x = y()  # type: ignore[arg-type]  # it reads as one"),
        ("a.ts", "// @ts-expect-error no such field"),
        ("a.tsx", "// biome-ignore lint/a11y/useX: the button is inside"),
    ],
)
def test_an_exception_with_its_reason_is_let_go(name, line):
    assert bare(name, line) == []


def test_a_rule_that_is_off_without_a_reason_is_found():
    text = (ROOT / "pyproject.toml").read_text()
    for line in ('    "S101",  # a test asserts\n', "disallow_subclassing_any = false  # "):
        assert line in text
        assert bare_settings(text.replace(line, line.partition("  # ")[0] + "\n#")) != []
