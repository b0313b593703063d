"""
Statements as PostgreSQL plans them: what it reads, and what of that from end to end.

Nothing is run. It is told that tables which grow have many rows, and to read by an index wherever
there is one for it: what it would choose for a few rows is not asked.
"""

import ast
import re
from collections.abc import Collection, Iterator, Mapping
from importlib import import_module
from pathlib import Path
from typing import Any

import psycopg

from twoturns.store.dialect import translated
from twoturns.store.port import Parameters

# How it plans for tables of any size, for values that it does not know.
SETTINGS = {
    "plan_cache_mode": "force_generic_plan",
    "enable_hashjoin": "off",
    "enable_mergejoin": "off",
    "enable_bitmapscan": "off",
    "cpu_tuple_cost": "1",  # to look at a row costs as much as to fetch a page of an index
    "cpu_index_tuple_cost": "1",
}
STATEMENT = re.compile(r"\s*(select|insert|update|delete|with)\b")
MANY = 2_000
_HAS_MANY = f"""
update pg_class set relpages = 1, reltuples = case when relname = any(%s) then {MANY} else 10 end
where relnamespace = %s::regnamespace and relkind = 'r'
"""
_INDEXES = """
select index.relname, held.relname, pg_get_indexdef(index.oid, 1, true)
from pg_index join pg_class as index on index.oid = indexrelid
    join pg_class as held on held.oid = indrelid
    join pg_namespace on pg_namespace.oid = index.relnamespace
where nspname = current_schema
"""


class Planner:
    """Plans statements in a workshop's schema."""

    def __init__(self, url: str, schema: str, growing: Collection[str]) -> None:
        self._connection = psycopg.connect(url, autocommit=True)
        self._connection.execute(f"set search_path to {schema}")
        for name, value in SETTINGS.items():
            self._connection.execute(f"set {name} to {value}")
        self._connection.execute(_HAS_MANY, [[*growing], schema])
        rows = self._connection.execute(_INDEXES)
        self._indexes = {name: (table, first) for name, table, first in rows}

    def close(self) -> None:
        self._connection.close()

    def reads(self, sql: str, parameters: Parameters = ()) -> list[tuple[str, str, bool]]:
        """
        Return which tables a statement reads by which index, if any, and whether by a value that
        the index begins with.

        Args:
            sql: The text that both engines are given.
            parameters: Some that it was given, for their types; without any, they are as the
                statement has them.
        """
        plan = self._plan(sql, parameters)
        return [*self._read_by(plan)]

    def sorts(self, sql: str, parameters: Parameters = ()) -> bool:
        """Say whether a statement sorts what it found: it reads all of that then, however much."""
        return _has_sort(self._plan(sql, parameters))

    def _plan(self, sql: str, parameters: Parameters) -> Mapping[str, Any]:
        statement = translated(sql)
        types = [_type(value) for value in statement.filled(parameters)] if parameters else []
        typed = f"({', '.join(types)})" if types else ""
        self._connection.execute(f"prepare asked{typed} as {statement.sql}".encode())
        try:
            nulls = ", ".join(["null"] * len(statement.names))
            given = f"({nulls})" if nulls else ""
            row = self._connection.execute(f"explain (format json) execute asked{given}").fetchone()
            assert row is not None
            return row[0][0]["Plan"]
        finally:
            self._connection.execute("deallocate asked")

    def _read_by(self, node: Mapping[str, Any]) -> Iterator[tuple[str, str, bool]]:
        if node["Node Type"] == "Seq Scan":
            yield node["Relation Name"], "", False
        elif "Index Name" in node:
            table, first = self._indexes[node["Index Name"]]
            told = re.search(rf"(?<!\w){re.escape(first)}(?!\w)", node.get("Index Cond", ""))
            yield table, node["Index Name"], told is not None
        for inner in node.get("Plans", ()):
            yield from self._read_by(inner)


def _has_sort(node: Mapping[str, Any]) -> bool:
    return "Sort" in node["Node Type"] or any(map(_has_sort, node.get("Plans", ())))


def _type(value: object) -> str:
    if isinstance(value, int):
        return "bigint"
    return "bytea" if isinstance(value, bytes) else "unknown"


def texts_of(room: Path, but: Collection[str]) -> set[str]:
    """
    Return the statements that stand whole in the modules of a room: as they are written, and as
    its modules put them together once and for all.

    Args:
        room: The package's folder, below `server`.
        but: Modules of one engine, by their names.
    """
    found: set[str] = set()
    for path in room.glob("*.py"):
        if path.stem not in but:
            module = ".".join(path.relative_to(room.parents[1]).with_suffix("").parts)
            found |= {*_written(path), *_put_together(vars(import_module(module)))}
    return {text for text in found if "{" not in text}


def _written(path: Path) -> Iterator[str]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    nodes = [*ast.walk(tree)]
    docs = {id(node.value) for node in nodes if isinstance(node, ast.Expr)}
    parts = {id(part) for node in nodes if isinstance(node, ast.JoinedStr) for part in node.values}
    for node in nodes:
        if isinstance(node, ast.Constant) and id(node) not in docs | parts:
            yield from _statements(node.value)


def _put_together(held: Mapping[str, object]) -> Iterator[str]:
    for value in held.values():
        yield from _statements(value)
        if isinstance(value, dict):
            for one in value.values():
                yield from _statements(one)


def _statements(value: object) -> Iterator[str]:
    if isinstance(value, str) and STATEMENT.match(value) and " " in value.strip():
        yield value
