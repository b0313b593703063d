"""
Where the server touches its disk, and harm done just there.

Every `os.write`, `os.pwrite`, `os.fsync`, `os.replace`, `os.ftruncate`, `os.unlink` of the store
and every COMMIT is a *point*, with a name that says which file: `fsync blobs/new`, `commit
ledger.db`. A process can be killed before it, after it and, in a write, in the middle of it; or
the call can fail. The store knows nothing of this: the functions that it calls are replaced in
the test.
"""

import errno
import os
import signal
import sqlite3
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

WRITING = ("begin immediate", "insert", "update", "delete", "create", "drop", "commit")
CALLS = ("write", "pwrite", "fsync", "replace", "ftruncate", "unlink")


class Hook:
    """Hears of each call before it happens; `go` makes it."""

    def call(self, name: str, go: Callable[[], Any], half: Callable[[], Any] | None) -> Any:
        raise NotImplementedError

    def sql(self, statement: str, go: Callable[[], Any]) -> Any:
        raise NotImplementedError


@contextmanager
def hooked(hook: Hook, root: Path) -> Iterator[None]:
    """Let a hook hear of every call on files below `root`, and of every SQL statement."""
    real = {name: getattr(os, name) for name in CALLS}
    connect = sqlite3.connect

    class Connection(sqlite3.Connection):
        def execute(self, sql, *parameters):
            return hook.sql(sql, lambda: sqlite3.Connection.execute(self, sql, *parameters))

        def executemany(self, sql, rows):
            return hook.sql(sql, lambda: sqlite3.Connection.executemany(self, sql, rows))

    def replaced(name):
        def call(target, *args, **kwargs):
            where = place(target, root)
            if where is None:
                return real[name](target, *args, **kwargs)
            half = None
            if name in ("write", "pwrite") and len(args[0]) > 1:

                def half():
                    return real[name](target, args[0][: len(args[0]) // 2], *args[1:])

            return hook.call(f"{name} {where}", lambda: real[name](target, *args, **kwargs), half)

        return call

    try:
        for name in CALLS:
            setattr(os, name, replaced(name))
        sqlite3.connect = lambda *args, **kwargs: connect(*args, factory=Connection, **kwargs)
        yield
    finally:
        for name in CALLS:
            setattr(os, name, real[name])
        sqlite3.connect = connect


def place(target: int | str | Path, root: Path) -> str | None:
    """Name the folder or the database that a call is on; None if it is not below the root."""
    path = Path(f"/proc/self/fd/{target}").readlink() if isinstance(target, int) else Path(target)
    if not path.is_relative_to(root):
        return None
    inside = path.relative_to(root)
    if inside.name.startswith("ledger-"):
        return str(inside.with_name("LEDGER"))  # a generation's name tells its size
    # Names of devices and blobs differ from run to run, and would hide that two points are one.
    return "/".join(part for part in inside.parts if len(part) < 32 and len(part) != 2) or "."


class Counting(Hook):
    """Numbers the points, and does its harm at the n-th."""

    def __init__(self, n: int) -> None:
        self.left, self.name = n, ""

    def is_it(self, name: str) -> bool:
        self.left -= 1
        if self.left == 0:
            self.name = name
        return self.left == 0


class Killing(Counting):
    """SIGKILL before, after or in the middle of the n-th call; `say` hears the point's name."""

    def __init__(self, n: int, say: Callable[[str], None]) -> None:
        super().__init__(n)
        self.say = say

    def call(self, name, go, half):
        self.die_if(f"before {name}")
        if half is not None and self.is_it(f"in {name}"):
            half()
            self.die()
        done = go()
        self.die_if(f"after {name}")
        return done

    def sql(self, statement, go):
        if not statement.startswith("COMMIT"):
            return go()
        return self.call("commit ledger.db", go, None)

    def die_if(self, name: str) -> None:
        if self.is_it(name):
            self.die()

    def die(self) -> None:
        self.say(self.name)
        os.kill(os.getpid(), signal.SIGKILL)


class Failing(Counting):
    """
    The n-th call fails: files with this number, SQL with what SQLite makes of it.

    Of a statement that comes again and again in one transaction the first two are points: the
    others would be rolled back alike, out of the same line.
    """

    def __init__(self, n: int, number: int) -> None:
        super().__init__(n)
        self.number, self.is_writing = number, True
        self.seen: Counter[str] = Counter()

    def call(self, name, go, half):
        if self.is_it(name):
            raise OSError(self.number, os.strerror(self.number))
        return go()

    def sql(self, statement, go):
        if statement.startswith("BEGIN"):
            self.is_writing = statement == "BEGIN IMMEDIATE"
            self.seen.clear()
        self.seen[statement] += 1
        is_new = self.seen[statement] <= 2
        harmed = is_new and self.is_writing and statement.lower().lstrip().startswith(WRITING)
        if not (harmed and self.is_it(statement)):
            return go()
        is_full = self.number == errno.ENOSPC
        error = sqlite3.OperationalError(
            "database or disk is full" if is_full else "disk I/O error"
        )
        error.sqlite_errorcode = sqlite3.SQLITE_FULL if is_full else sqlite3.SQLITE_IOERR
        raise error


def killed_at(n: int, root: Path, act: Callable[[Callable[[str], None]], None]) -> tuple[str, list]:
    """
    Run `act` in a child that is killed at its n-th point.

    Returns the point's name, empty if the act was over before, and what the child had claimed by
    then: `act` is given a function that tells it.
    """
    ours, childs = os.pipe()
    child = os.fork()
    if child == 0:
        tell = os.write

        def say(what: str) -> None:
            tell(childs, (what + "\n").encode())

        try:
            with hooked(Killing(n, lambda name: say(f"point {name}")), root):
                act(lambda claim: say(f"claim {claim}"))
        except BaseException as error:  # noqa: BLE001 - it is told to who started this
            say(f"broken {type(error).__name__}: {error}")
            os._exit(1)
        os._exit(0)
    os.close(childs)
    with os.fdopen(ours) as pipe:
        said = [line.rstrip("\n").partition(" ") for line in pipe]
    _, status = os.waitpid(child, 0)
    broken = [what for how, _, what in said if how == "broken"]
    assert not broken, broken
    was_killed = os.WIFSIGNALED(status) and os.WTERMSIG(status) == signal.SIGKILL
    points = [what for how, _, what in said if how == "point"]
    assert was_killed == bool(points), (status, said)
    return "".join(points), [what for how, _, what in said if how == "claim"]
