"""
Statements as PostgreSQL takes them, from the one text that both engines are given. Pure.

A text cannot hold U+0000 there, which a phone may sign: where one is filled in, in a view or as
what is sought, U+FFFD stands for it. Records have it as JSON writes it, in letters.

What is filled in is numbered (`$1`), whole numbers are 64 bits wide, texts are compared by their
bytes, as SQLite does whatever the language of the server is, and the values of a list come out of
`json_each` under the same name.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, Final

from twoturns.store.port import Parameters

_PARTS: Final = re.compile(
    r"""(?P<quoted>'(?:[^']|'')*'|"(?:[^"]|"")*"|::\s*\w+)
    |(?P<each>\bjson_each\s*\(\s*(?P<list>\?|:\w+)\s*\))
    |(?P<of>\bjson_each\s*\(\s*(?P<column>[a-z_.]+)\s*,\s*'\$\.(?P<member>\w+)'\s*\))
    |(?P<mark>\?|:(?P<name>[a-z_]\w*))""",
    re.VERBOSE,
)
_PLAIN_INSERT: Final = re.compile(
    r"\s*(?P<into>insert into \w+ values )\((?P<row>\$\d+(?:, \$\d+)*)\)"
    r"(?P<rest>(?: on conflict do nothing)?)\s*"
)
_SCHEMA: Final = re.compile(r"\s*(create|alter)\b", re.IGNORECASE)
_TYPES: Final = (
    (re.compile(r"\)\s*strict\b(\s*,\s*without rowid)?"), ")"),
    (re.compile(r"(?<=[\w\"]) integer\b"), " bigint"),
    (re.compile(r"(?<=[\w\"]) blob\b(?! text)"), " bytea"),
    (re.compile(r"(?<=[\w\"]) text\b"), r'\g<0> collate "C"'),
)


@dataclass(frozen=True)
class Statement:
    """
    A statement, the names of what is filled in, in the order of its numbers, if named, and which of
    it are lists, as JSON.
    """

    sql: str
    names: tuple[str, ...] = ()
    lists: frozenset[int] = frozenset()

    def filled(self, parameters: Parameters) -> Sequence[Any]:
        """Return what is filled in, in the order of its numbers."""
        if isinstance(parameters, Mapping):
            parameters = [parameters[name] for name in self.names]
        filled = [readable(one) for one in parameters]
        for place in self.lists:
            filled[place] = str(filled[place]).replace(r"\u0000", r"\ufffd")
        return filled


@cache
def translated(sql: str) -> Statement:
    """
    Return a statement as PostgreSQL takes it.

    >>> translated("select :a, '?', :b from json_each(:a)").sql
    "select $1, '?', $2 from json_array_elements_text($1::json)"
    >>> translated("select 1 from json_each(summary, '$.codes')").sql
    "select 1 from json_array_elements_text(summary::json -> 'codes')"
    >>> translated('create table nodes (hash blob not null, "index" integer) strict').sql
    'create table nodes (hash bytea not null, "index" bigint)'
    """
    if _SCHEMA.match(sql):
        return Statement(_schema(sql))
    names: list[str] = []
    lists: set[int] = set()

    def place(mark: str) -> int:
        name = str(len(names)) if mark == "?" else mark[1:]
        if name not in names:
            names.append(name)
        return names.index(name)

    def part(found: re.Match[str]) -> str:
        if found["each"]:
            lists.add(number := place(found["list"]))
            return f"json_array_elements_text(${number + 1}::json)"
        if found["of"]:
            return f"json_array_elements_text({found['column']}::json -> '{found['member']}')"
        return f"${place(found['mark']) + 1}" if found["mark"] else found[0]

    return Statement(_PARTS.sub(part, sql), tuple(names), frozenset(lists))


@cache
def of_many(sql: str, rows: int) -> str | None:
    """
    Return a plain insert, as PostgreSQL takes it, for so many rows at once; None if it is none.

    >>> of_many("insert into seen values ($1, $2)", 2)
    'insert into seen values ($1, $2), ($3, $4)'
    """
    form = _PLAIN_INSERT.fullmatch(sql)
    if form is None:
        return None
    width = form["row"].count("$")
    numbers = (range(row * width + 1, (row + 1) * width + 1) for row in range(rows))
    filled = ", ".join(f"({', '.join(f'${number}' for number in row)})" for row in numbers)
    return f"{form['into']}{filled}{form['rest']}"


def readable(one: object) -> object:
    """Return what is filled in as a text that PostgreSQL can hold, if it is a text."""
    return one.replace("\0", "\ufffd") if type(one) is str and "\0" in one else one


def _schema(sql: str) -> str:
    for form, now in _TYPES:
        sql = form.sub(now, sql)
    return sql
