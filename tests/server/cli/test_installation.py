"""The commands on an installation of many workshops: which is meant, and what is said of all."""

import json
import shutil
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from twoturns.cli import main
from twoturns.store import Store
from twoturns.store.errors import NotAWorkshop
from twoturns.store.installation import Installation, folder_of, host_at, host_of
from twoturns.web.limits import Limits
from twoturns.web.workshops import ManyWorkshops

NORTH, SOUTH = "north.example", "south.example"


def commands(group: click.Group, before: str = "") -> dict[str, click.Command]:
    found: dict[str, click.Command] = {}
    for name in group.list_commands(context := click.Context(group)):
        command = group.get_command(context, name)
        inner = command if isinstance(command, click.Group) else None
        found |= commands(inner, f"{before}{name} ") if inner else {f"{before}{name}": command}
    return found


COMMANDS = commands(main)


def run(*words: str | Path):
    return CliRunner().invoke(main, [str(word) for word in words])


@pytest.fixture
def chain(tmp_path):
    for host, name in ((NORTH, "North"), (SOUTH, "South")):
        made = run("init", "--data", tmp_path / "chain", "--workshop", host, "--name", name)
        assert made.exit_code == 0, made.output
        assert f"twoturns enrol --workshop {host} --role owner" in made.output
    return tmp_path / "chain"


def test_each_workshop_is_made_with_a_key_of_its_own_for_its_owner_alone(chain):
    keys = {path.read_text() for path in chain.glob("workshops/*/workshop.key")}
    assert len(keys) == 2
    assert chain.stat().st_mode & 0o777 == 0o700
    assert Installation(chain).names == [NORTH, SOUTH]


def test_which_one_is_meant_must_be_said_and_is_said_back(chain):
    refused = run("jobs", "--data", chain)
    assert refused.exit_code == 1
    assert "none is named" in refused.output
    assert f"--workshop: {NORTH}, {SOUTH}" in refused.output
    assert run("jobs", "--data", chain, "--workshop", NORTH).exit_code == 0
    assert run("jobs", "--data", chain / "workshops" / NORTH).exit_code == 0
    nobody = run("jobs", "--data", chain, "--workshop", "east.example")
    assert nobody.exit_code == 1
    assert "holds no workshop" in nobody.output


def test_a_procedure_is_checked_by_the_words_of_the_workshop_that_is_named(chain):
    """Of an installation it must be one: each has words of its own."""
    (chain / "workshops" / NORTH / "house.yaml").write_text("no words at all")
    procedure = Path(__file__).parents[3] / "demo_jobs" / "van-timing-drive"
    refused = run("procedure", "check", procedure, "--data", chain)
    assert (refused.exit_code, "none is named" in refused.output) == (1, True)
    nowhere = run("procedure", "check", procedure, "--workshop", NORTH)
    assert (nowhere.exit_code, "with --data" in nowhere.output) == (2, True)
    wrong = run("procedure", "check", procedure, "--data", chain, "--workshop", NORTH)
    assert (wrong.exit_code, "house.yaml" in wrong.output) == (1, True)


def test_every_command_that_takes_a_folder_takes_the_name_of_a_workshop():
    """But the demo, whose folder is its own."""
    takes = {
        name: {option for one in command.params for option in one.opts}
        for name, command in COMMANDS.items()
    }
    without = [name for name, has in takes.items() if "--data" in has and "--workshop" not in has]
    assert without == ["demo"]


def test_the_link_of_an_invitation_leads_to_the_workshops_own_address(chain):
    said = run("enrol", "--data", chain, "--workshop", SOUTH, "--role", "owner", "--name", "O")
    assert said.output.startswith(f"https://{SOUTH}/#invite=")
    assert Store(chain / "workshops" / NORTH).ledger.size() == 1  # nothing went there


def test_a_folder_that_is_one_workshop_is_no_installation_and_none_is_made_in_it(tmp_path):
    assert run("init", "--data", tmp_path / "one", "--name", "One").exit_code == 0
    for words in (("jobs",), ("init", "--name", "Two")):
        refused = run(*words, "--data", tmp_path / "one", "--workshop", NORTH)
        assert refused.exit_code == 1
        assert "no folder of many workshops" in refused.output


@pytest.mark.parametrize(
    "name",
    ["", ".", "..", "../north", "a/b", "-north", "north-", "n_rth", "north..example", "x" * 64],
)
def test_what_is_no_host_name_is_no_folder(chain, name):
    with pytest.raises(NotAWorkshop):
        folder_of(chain, name)
    assert Installation(chain).find(name) is None


def test_a_name_in_letters_of_its_own_is_the_one_that_browsers_send(chain):
    # RFC 3490, section 4; the form of this word is from memory.
    assert host_of("München.example") == "xn--mnchen-3ya.example"
    assert host_at(folder_of(chain, "München.example")) == "xn--mnchen-3ya.example"


def test_doctor_looks_at_each_and_whether_they_are_strangers(chain):
    said = run("doctor", "--data", chain, "--json")
    found = [json.loads(line) for line in said.output.splitlines()]
    whose = {(one.get("workshop"), one["code"]) for one in found}
    assert {(NORTH, "key-mode"), (SOUTH, "key-mode"), (None, "strangers")} <= whose
    one = run("doctor", "--data", chain, "--workshop", NORTH).output
    assert NORTH in one
    assert SOUTH not in one


def test_one_that_has_two_names_is_backed_up_and_seen_to_once(chain, tmp_path):
    workshops = chain / "workshops"
    (workshops / "a-second.example").symlink_to(NORTH)
    (workshops / SOUTH).rename(tmp_path / "elsewhere")  # on another disk, say: by a link alone
    (workshops / SOUTH).symlink_to(tmp_path / "elsewhere")
    said = run("backup", "--data", chain, tmp_path / "backup")
    assert said.exit_code == 0, said.output
    assert sorted(path.name for path in (tmp_path / "backup").iterdir()) == [NORTH, SOUTH]
    installation = Installation(chain)
    for only, each in (
        ((), [NORTH, SOUTH]),
        (("a-second.example",), ["a-second.example"]),
        (("a-second.example", NORTH), [NORTH]),
    ):
        served = ManyWorkshops(installation, opened=Store, limits=Limits, only=frozenset(only))
        assert served.each == each


def test_doctor_tells_a_copied_workshop_a_stray_and_one_that_cannot_be_opened(chain):
    shutil.copytree(chain / "workshops" / NORTH, chain / "workshops" / "copied.example")
    (chain / "workshops" / "second.example").symlink_to(chain / "workshops" / SOUTH)
    (chain / "workshops" / "Not A Host").mkdir()
    (chain / "workshops" / "empty.example").mkdir()
    said = run("doctor", "--data", chain)
    assert said.exit_code == 1
    assert f"several folders: copied.example, {NORTH}" in said.output
    assert "second.example, " not in said.output  # a second name for one folder is none
    assert "Not A Host is at no host name" in said.output
    assert "empty.example: it cannot be opened" in said.output
    assert f"look  {SOUTH}: no backup was ever made" in said.output


def test_doctor_has_one_line_for_each_that_is_well(chain, tmp_path):
    for name in (NORTH, SOUTH):
        assert run("backup", tmp_path / name, "--data", chain, "--workshop", name).exit_code == 0
    said = run("doctor", "--data", chain).output.splitlines()
    assert [line.split(" (")[0] for line in said[:2]] == [
        f"good  {name}: all is well" for name in (NORTH, SOUTH)
    ]
    assert len(said) == 3


def test_each_is_backed_up_by_itself_and_put_back_by_itself(chain, tmp_path):
    target = tmp_path / "backup"
    assert run("backup", target, "--data", chain).exit_code == 0
    assert sorted(path.name for path in target.iterdir()) == [NORTH, SOUTH]
    shutil.rmtree(chain / "workshops" / NORTH)
    back = run("restore", target / NORTH, "--data", chain, "--workshop", NORTH)
    assert back.exit_code == 0, back.output
    assert Installation(chain).names == [NORTH, SOUTH]


def test_one_that_cannot_be_backed_up_stops_no_other(chain, tmp_path):
    (chain / "workshops" / NORTH / "ledger.db").write_bytes(b"not a database at all")
    said = run("backup", tmp_path / "backup", "--data", chain)
    assert said.exit_code == 1
    assert f"1 workshop is not backed up, or not whole: {NORTH}" in said.output
    assert (tmp_path / "backup" / SOUTH).is_dir()


def test_serve_says_what_it_would_not_do(chain):
    named = run("serve", "--data", chain, "--host-name", "x.example")
    assert named.exit_code == 2
    assert "names of their folders" in named.output
    nobody = run("serve", "--data", chain, "--workshop", "east.example")
    assert nobody.exit_code == 2
    assert "has no workshop east.example" in nobody.output
