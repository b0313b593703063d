"""Every sentence that a person reads stands in the catalogue, is said, and has its arguments."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from sentences import sentences_in
from twoturns.words import phone
from twoturns.words.message import Argument, Piece, parse

SERVER = Path(__file__).resolve().parents[3] / "server" / "twoturns"
CATALOGUE = SERVER / "words" / "en"
PHONE = Path(__file__).resolve().parents[3] / "client" / "src"
#: Modules whose texts are not said to a person in a language, and what they are.
NOT_SAID = {
    "bag/head.py": "a format for ever: formats.md, section 8",
    "bag/layout.py": "a format for ever: formats.md, section 8",
    "cli/__init__.py": "help texts; each is the first sentence of its command's own",
    "ledger/types.py": "writes the phone's types of the bodies",
    "procedure/compile/reference.py": "writes the reference of the language",
    "procedure/compile/typescript.py": "writes the phone's types of a bundle",
    "web/page.py": "writes the page of routes",
    "web/types.py": "writes the phone's types of the answers",
}


def name_of(path: Path) -> str:
    return path.relative_to(SERVER).as_posix()


CATALOGUES = {
    path.relative_to(CATALOGUE).with_suffix("").as_posix(): path.read_text()
    for path in sorted(CATALOGUE.rglob("*.py"))
    if path.name != "__init__.py"
}


@pytest.fixture(scope="module")
def modules():
    """Every module that may say something, parsed: by its path."""
    return {
        name_of(path): ast.parse(path.read_text())
        for path in sorted(SERVER.rglob("*.py"))
        if SERVER / "words" not in path.parents
    }


def test_no_sentence_stands_in_a_module(modules):
    found = [
        f"{name}:{line}: {text}"
        for name, tree in modules.items()
        if name not in NOT_SAID
        for line, text in sentences_in(tree)
    ]
    assert found == []


def test_nothing_on_the_list_is_gone_or_needs_not_be_there(modules):
    assert [
        name for name in NOT_SAID if name not in modules or not sentences_in(modules[name])
    ] == []


def test_a_sentence_is_found_wherever_it_stands():
    source = '''
"""A docstring is not one."""
raise NotFound(f"no job {job} is here")
assert held, "nor what a programmer is told"
SAYS = {"not a key of two words": "done when it was not open"}
rows = database.execute("select a from b where c")
click.option("--to", help="Where it goes to.")
say("It holds." if held else "no proof")
'''
    assert [text for _, text in sentences_in(ast.parse(source))] == [
        "no job {} is here",
        "done when it was not open",
        "It holds.",
        "no proof",
    ]


def sentences_of(source: str) -> Iterator[tuple[str, str]]:
    """`KEY` or `GROUP.key` of each sentence of a catalogue, with what it says."""
    for statement in ast.parse(source).body:
        if isinstance(statement, ast.Expr | ast.ImportFrom):
            continue
        assert isinstance(statement, ast.Assign | ast.AnnAssign), ast.dump(statement)
        target = statement.target if isinstance(statement, ast.AnnAssign) else statement.targets[0]
        assert isinstance(target, ast.Name)
        assert statement.value is not None
        said = ast.literal_eval(statement.value)
        if isinstance(said, dict):
            yield from ((f"{target.id}.{key}", says) for key, says in said.items())
        else:
            yield target.id, said


SENTENCES = {
    f"{place}: {key}": says
    for place, source in CATALOGUES.items()
    for key, says in sentences_of(source)
}


def imported(tree: ast.Module) -> dict[str, str]:
    """The name by which a module calls each catalogue that it imports, and its place."""
    found = {}
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("twoturns.words.en"):
            folder = (node.module or "").removeprefix("twoturns.words.en").strip(".")
            for alias in node.names:
                place = ".".join(filter(None, (folder, alias.name))).replace(".", "/")
                found[alias.asname or alias.name] = place
    return found


def taken_by(tree: ast.Module) -> Iterator[str]:
    """`place: KEY` of each sentence or group that a module takes from the catalogue."""
    places = imported(tree)
    for node in ast.walk(tree):
        named = node.value if isinstance(node, ast.Attribute) else None
        if isinstance(named, ast.Name) and named.id in places:
            yield f"{places[named.id]}: {node.attr}"


def test_no_sentence_stands_in_the_catalogue_that_nobody_says(modules):
    """Of a place that is shared, the phone may be the one that says it."""
    taken = {key for tree in modules.values() for key in taken_by(tree)}
    unsaid = [key for key in SENTENCES if key.split(".")[0] not in taken]
    assert [key for key in unsaid if not is_said_by_the_phone(*key.split(": "))] == []


def is_said_by_the_phone(place: str, key: str) -> bool:
    camel = re.sub(r"_(.)", lambda found: found[1].upper(), key.lower())
    sources = (path.read_text() for path in PHONE.rglob("*.ts*"))
    saying = (source for source in sources if f"/words/en/{place}'" in source)
    return place in phone.SHARED and any(
        re.search(rf"ords\.{camel}\b", source) for source in saying
    )


@pytest.mark.parametrize("place", phone.SHARED)
def test_what_the_phone_says_alike_is_fresh(place):
    assert phone.FOLDER == PHONE / "words" / "en"
    assert (phone.FOLDER / f"{place}.ts").read_text() == phone.source(place), (
        "run python -m twoturns.words.phone"
    )


def arguments_of(pieces: tuple[Piece, ...]) -> set[str]:
    found = set()
    for piece in pieces:
        if isinstance(piece, Argument):
            found.add(piece.name)
            for branch in piece.branches.values():
                found |= arguments_of(branch)
    return found


def test_the_catalogue_has_only_messages_and_no_brace_that_a_quotation_mark_hides():
    for key, says in SENTENCES.items():
        parse(says)
        assert not re.search(r"(?<!')'[{}]", says), f"{key}: write '' before a brace"


def lacks(call: ast.Call, places: dict[str, str]) -> set[str]:
    """The arguments that a call of `t` does not give, or gives too many."""
    first = call.args[0]
    member = first.value if isinstance(first, ast.Subscript) else first
    if not (isinstance(member, ast.Attribute) and isinstance(member.value, ast.Name)):
        return set()
    key = f"{places.get(member.value.id)}: {member.attr}"
    group = [says for each, says in SENTENCES.items() if each.split(".")[0] == key]
    has = set().union(*(arguments_of(parse(says)) for says in group))
    given = {word.arg for word in call.keywords if word.arg}
    return has - given if isinstance(first, ast.Subscript) else has ^ given


def test_each_sentence_is_given_the_arguments_that_it_has(modules):
    wrong = []
    for name, tree in modules.items():
        places = imported(tree)
        calls = [node for node in ast.walk(tree) if isinstance(node, ast.Call) and node.args]
        said = [one for one in calls if isinstance(one.func, ast.Name) and one.func.id == "t"]
        wrong += [(name, one.lineno, lacks(one, places)) for one in said if lacks(one, places)]
    assert wrong == []
