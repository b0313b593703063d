"""What a user or a program may rely on is written down: commands, routes, settings, codes."""

import re
from pathlib import Path

import click
import pytest

from faults.faults import FAULTS, table
from twoturns.cli import main
from twoturns.procedure.compile import reference
from twoturns.procedure.prove import prove
from twoturns.web import page
from twoturns.web.app import create_app, description
from twoturns.web.problems import PROBLEMS
from workshop import Workshop

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text()
DOCS = ROOT / "server" / "docs"
FORMATS = (DOCS / "formats.md").read_text()
MAP = (ROOT / "DEVELOPERS.md").read_text()


def commands(group: click.Group, before: str = "") -> list[tuple[str, click.Command]]:
    found = []
    context = click.Context(group)
    for name in group.list_commands(context):
        command = group.get_command(context, name)
        if isinstance(command, click.Group):
            found += commands(command, f"{before}{name} ")
        else:
            found.append((f"{before}{name}", command))
    return found


# What finds something in a procedure.
PROVERS = "".join(path.read_text() for path in Path(prove.__file__).parent.glob("*.py"))
COMMANDS = dict(commands(main))


@pytest.mark.parametrize("name", COMMANDS)
def test_each_command_is_in_the_readme_and_shows_an_example(name):
    assert f"`{name}`" in README
    assert "Example:" in (COMMANDS[name].help or "")


@pytest.mark.parametrize("name", COMMANDS)
def test_each_option_says_what_it_is_for(name):
    for option in COMMANDS[name].params:
        if isinstance(option, click.Option):
            assert option.help, f"{name} {option.opts}"


def test_the_readme_opens_with_the_job_and_has_its_commands_by_line_25():
    head = README.splitlines()
    assert head[2].startswith("Replacing a timing belt")
    top = "\n".join(head[:25])
    assert "twoturns demo" in top
    assert "-m pytest" in top


def test_the_environment_settings_are_in_the_readme():
    settings = {
        option.envvar
        for command in COMMANDS.values()
        for option in command.params
        if isinstance(option.envvar, str)
    }
    assert settings, "the data folder can be set by the environment"
    for setting in settings:
        assert setting in README


def test_the_page_of_routes_is_what_the_description_says_now():
    assert (DOCS / "http.md").read_text() == page.page(description()), (
        "run `python -m twoturns.web.page`"
    )


def test_the_reference_is_what_schema_vocabulary_and_rules_say_now():
    assert (DOCS / "reference.md").read_text() == reference.page(), (
        "run `python -m twoturns.procedure.compile.reference`"
    )


def test_each_route_is_in_the_page_of_routes(tmp_path):
    """Also one that flask-smorest would not describe, for it was put on the app by other means."""
    app = create_app(Workshop(tmp_path).store.folder)
    described = (DOCS / "http.md").read_text()
    for rule in app.url_map.iter_rules():
        if rule.rule.startswith("/api") and rule.rule != "/api/openapi.json":
            path = re.sub(r"<(?:\w+:)?(\w+)>", r"{\1}", rule.rule)
            for method in rule.methods - {"HEAD", "OPTIONS"}:
                assert f"### `{method} {path}`\n" in described, f"{method} {path}"


def test_the_page_of_faults_has_the_table_that_the_simulation_prints():
    """Row for row, but for how often the run that it tells of did each harm."""
    page = (DOCS / "faults.md").read_text()
    harms = {harm for fault in FAULTS for harm in fault.sim}
    counts = {
        harm: int(count.replace(",", ""))
        for harm in harms
        for count in re.findall(rf"(?:\| |, ){re.escape(harm)} ([\d,]+)(?=,? )", page)
    }
    assert counts.keys() == harms
    assert table(counts) in page


def test_each_file_and_constant_that_the_map_names_is_there():
    """A newcomer goes by these names; a file that was moved is one they look for in vain."""
    found = [
        path
        for top in (
            ".pre-commit-config.yaml",
            "server",
            "client",
            "tests",
            "demo_jobs",
            "README.md",
        )
        for path in ([ROOT / top] if (ROOT / top).is_file() else (ROOT / top).rglob("*"))
        if "node_modules" not in path.parts and path.is_file()
    ]
    named = re.findall(r"`([\w./-]+\.(?:py|ts|tsx|yaml|md|json|txt))`", MAP)
    assert len(named) > 100
    paths = {f"/{path.relative_to(ROOT)}" for path in found}
    lost = [name for name in named if not any(path.endswith(f"/{name}") for path in paths)]
    assert lost == []
    code = "".join(path.read_text() for path in found if path.suffix in (".py", ".ts", ".tsx"))
    constants = set(re.findall(r"`(_?[A-Z][A-Z_]{2,})`", MAP))
    assert [name for name in constants if not re.search(rf"\b{name}\b", code)] == []


def test_the_map_is_read_in_ten_minutes():
    """350 lines; most people read some 230 words a minute (common practice, no source)."""
    assert len(MAP.splitlines()) <= 350


@pytest.mark.parametrize("code", PROBLEMS)
def test_each_code_has_words_on_what_to_do(code):
    assert PROBLEMS[code].hint.endswith(".")


def test_each_kind_of_finding_is_in_the_page_of_formats():
    found = set(re.findall(r'(?:Finding|told|_found)\(\s*"([a-z-]+)"', PROVERS))
    assert len(found) >= 45
    assert not [code for code in found if f"`{code}`" not in FORMATS]


def test_each_finding_of_the_table_is_one_that_proving_makes():
    table = FORMATS.partition("**Findings of the metal**")[2].partition("\n\nThe bundle")[0]
    rows = [row.split("|")[1] for row in table.splitlines() if row.startswith("| `")]
    told = {code for row in rows for code in re.findall(r"`([a-z-]+)`", row)}
    assert len(told) == 21
    assert not [code for code in told if f'"{code}"' not in PROVERS]
