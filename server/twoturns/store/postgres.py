"""
A workshop's ledger in PostgreSQL: a schema of its own, whose owner is a role of its own.

That role has no right in any other schema, and every connection takes it on before it asks anything
(`postgres_links`): a statement names no workshop, and one that forgot its `where` cannot cross.
Processes share their connections among workshops, a pool for each server.

What is promised of a write (`port.Database`) is kept so:

- One at a time: the workshop's advisory lock is taken before anything is read, and held until the
  commit is through.
- Durable, by the primary in office: `postgres_links`.

A read transaction is one snapshot, and waits while views are made anew (`views_made`): tables that
are dropped and made again in another transaction would look empty in a snapshot of before.
"""

import hashlib
import itertools
import threading
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from typing import Any, Final, get_args

import psycopg
from psycopg import sql as text
from psycopg.pq import TransactionStatus

from twoturns.store import moves
from twoturns.store.dialect import of_many, readable, translated
from twoturns.store.errors import NotAWorkshop, StoreError, WorkshopLocked
from twoturns.store.port import Cursor, Mark, Parameters, Row, Rows, rows_of
from twoturns.store.postgres_links import (
    HOME,
    MOST_CONNECTIONS,
    TURN_SECONDS,
    Link,
    called_what_it_is,
    commit,
    connected,
    linked,
    patience,
    require_readable,
)
from twoturns.words import t
from twoturns.words.en.store import postgres as words

ROWS_AT_ONCE: Final = 16
_OWN: Final = """
create table if not exists marks (name text primary key) strict;
create unlogged table if not exists confirmed (since text primary key) strict;
"""
_ROLE: Final = "select rolcanlogin from pg_roles where rolname = $1"
_HAS_TABLE: Final = "select 1 from pg_tables where schemaname = $1 and tablename = $2"
_NEW_ROLE: Final = text.SQL("create role {0} nologin; grant {0} to current_user")
_NEW_SCHEMA: Final = text.SQL("create schema if not exists {0} authorization {0}")
_COPY: Final = text.SQL("copy {0} from stdin")
_READ: Final = b"begin isolation level repeatable read read only"
_NO_VIEWS_MADE_ANEW: Final = b"lock table views_made in access share mode"
# Of a statement that may take its time (`Link.within` says for how long).
_TAKE_TIME: Final = b"set statement_timeout = 0"
_LONG: Final = b"""
; set local statement_timeout = 0; set local idle_in_transaction_session_timeout = 0
"""
_numbers: Final = itertools.count()


class Connection:
    """
    A transaction; or, without a link, what runs each statement by itself. What can wait (`later`)
    goes to the server many rows at once, before anything else is asked or written.
    """

    is_embedded = False

    def __init__(
        self, run: "Callable[[Callable[[Link], Cursor]], Cursor]", link: "Link | None" = None
    ) -> None:
        self._run, self._link = run, link
        self._said: set[str] | None = None  # marks and notes, once they were read, if they stand
        self._waiting: dict[str, list[Sequence[Any]]] = {}

    def execute(self, sql: str, parameters: Sequence[Any] | dict[str, Any] | None = None) -> Cursor:
        """Run a statement, with what waits before it on the same way there and back."""
        statement = translated(sql)
        given = statement.filled(parameters) if parameters else None
        waiting, self._waiting = self._waiting, {}

        def run(link: Link) -> Cursor:
            if not waiting:
                return link.execute(statement.sql.encode(), given)
            with _at_once(link):
                _send(link, waiting)
                return link.execute(statement.sql.encode(), given)

        return self._run(run)

    def each(
        self, sql: str, parameters: Sequence[Any] | dict[str, Any] | None = None
    ) -> Iterator[Any]:
        """Yield rows one after the other, within a transaction, by a cursor of the server's."""
        self.write_waiting()
        statement = translated(sql)
        given = statement.filled(parameters) if parameters else None

        with psycopg.RawServerCursor(self._in_transaction(), f"each_{next(_numbers)}") as cursor:
            yield from cursor.execute(statement.sql.encode(), given)

    def executemany(self, sql: str, rows: Iterable[Parameters]) -> None:
        """Run a statement once for each row."""
        for row in rows:
            self.later(sql, row)
        self.write_waiting()

    def put_rows(self, table: str, rows: Iterable[Sequence[Any]]) -> None:
        """Put whole rows into a table, by the server's own way of taking many (COPY)."""
        self.write_waiting()
        with (
            self._in_transaction().cursor() as cursor,
            cursor.copy(_COPY.format(text.Identifier(table))) as copy,
        ):
            for row in rows:
                copy.write_row([readable(one) for one in row])

    def later(self, sql: str, row: Parameters) -> None:
        """Have a row written, within this transaction, before the next statement."""
        statement = translated(sql)
        self._waiting.setdefault(statement.sql, []).append(statement.filled(row))

    def is_marked(self, mark: Mark) -> bool:
        """Say whether the ledger has a mark."""
        return mark in self._marks()

    def mark(self, mark: Mark, is_one: bool) -> None:
        """Give the ledger a mark, or take it away. Part of the transaction."""
        self.note(mark, is_one)

    def notes(self) -> set[str]:
        """Return what is noted of moves: they stand with the marks."""
        return self._marks().difference(get_args(Mark))

    def note(self, said: str, is_so: bool) -> None:
        """Note something, or that it is no longer so. Part of the transaction."""
        put = "insert into marks values (?) on conflict do nothing"
        self.execute(put if is_so else "delete from marks where name = ?", [said])
        self._said = None

    def _marks(self) -> set[str]:
        if self._said is not None:
            return self._said
        said = {name for (name,) in self.execute("select name from marks")}
        if self._link is not None:  # nobody else writes in this transaction
            self._said = said
        return said

    def write_waiting(self) -> None:
        """Write what waits."""
        if self._waiting:
            waiting, self._waiting = self._waiting, {}
            link = self._in_transaction()
            with _at_once(link):
                _send(link, waiting)

    def _in_transaction(self) -> "Link":
        if self._link is None:
            raise RuntimeError("rows come one after the other only within a transaction")
        return self._link


@contextmanager
def _at_once(link: Link) -> Iterator[None]:
    """Send several statements on one way there and back."""
    try:
        with link.pipeline():
            yield
    except psycopg.Error:
        link.is_spent = True  # it takes statements for prepared that the server has skipped
        raise


def _send(link: Link, waiting: dict[str, list[Sequence[Any]]]) -> None:
    """Send rows, within a pipeline: of a plain insert many in a statement."""
    for sql, rows in waiting.items():
        left = rows
        while len(left) >= ROWS_AT_ONCE and (many := of_many(sql, ROWS_AT_ONCE)) is not None:
            link.execute(many.encode(), [one for row in left[:ROWS_AT_ONCE] for one in row])
            left = left[ROWS_AT_ONCE:]
        for row in left:
            link.execute(sql.encode(), row)


class Database(Rows):
    """
    A workshop's schema on a server.

    Args:
        server: How it is reached: a URL or connection string of libpq's, which may name several
            hosts.
        schema: The workshop's schema, and its role.
        photos: Where the folder says that the photos are; None: whoever moves the workshop, and
            may write where it no longer is.

    Raises:
        StoreError: `bad-ledger-url`, if libpq cannot read that.
    """

    file = None

    def __init__(self, server: str, schema: str, photos: str | None = "") -> None:
        require_readable(server)
        self.server, self.schema, self._photos = server, schema, photos
        self._local = threading.local()
        # Who waits for a workshop waits here, with no link of those that all workshops share.
        self._writing = threading.RLock()
        self._links = threading.BoundedSemaphore(MOST_CONNECTIONS // 2)

    @classmethod
    def prepare(cls, server: str, schema: str, photos: str | None = "") -> "Database":
        """
        Have a schema and a role of its own for a workshop; return the ledger, which is empty.

        Who connects makes them, if they are not there: it needs CREATEROLE, and CREATE in the
        database.

        Raises:
            NotAWorkshop: If there is a workshop in the schema.
            StoreError: `bad-ledger-url`, if its name is somebody's who logs in.
        """
        made, name = cls(server, schema, photos), text.Identifier(schema)
        with called_what_it_is(), connected(server) as admin:
            admin.execute(f"begin; select pg_advisory_xact_lock({_number(schema)})".encode())
            if admin.execute(_HAS_TABLE, [schema, "records"]).fetchone() is not None:
                raise schema_taken(schema)
            role = admin.execute(_ROLE, [schema]).fetchone()
            if role == (1,):  # the login is a member of every workshop's role
                says, hint = t(words.ROLE_LOGS_IN, schema=schema), t(words.SCHEMA_TAKEN_HINT)
                raise StoreError(says, code="bad-ledger-url", hint=hint)
            if role is None:
                admin.execute(_NEW_ROLE.format(name))
            admin.execute(_NEW_SCHEMA.format(name))
            admin.execute(HOME.format(name))
            for statement in filter(str.strip, _OWN.split(";")):
                admin.execute(translated(statement).sql.encode())
        return made

    def connection(self) -> Connection:
        """Return this thread's transaction; outside of one, what asks each by itself."""
        held: Connection | None = getattr(self._local, "held", None)
        return held or Connection(self._run_once)

    def rows(self, sql: str, parameters: Parameters = ()) -> list[Row]:
        """Return all rows."""
        with called_what_it_is():
            return rows_of(self.connection(), sql, parameters)

    def has_table(self, name: str) -> bool:
        """Say whether the schema has a table, as far as this program may know."""
        with called_what_it_is(), linked(self.server, None) as link:
            return link.execute(_HAS_TABLE, [self.schema, name]).fetchone() is not None

    @contextmanager
    def read(self) -> Iterator[Connection]:
        """Run several reads on one snapshot, so that a page and its checkpoint agree."""
        deadline = _deadline()
        begin = _waiting_until(deadline, _READ, _NO_VIEWS_MADE_ANEW)
        yield from self._transaction(begin, lambda link: link.execute("commit"), deadline)

    @contextmanager
    def write(self, *, is_long: bool = False) -> Iterator[Connection]:
        """Run one write transaction, the only one of the workshop."""
        deadline = _deadline()
        with _in_turn(self._writing, deadline):
            lock = f"select pg_advisory_xact_lock({_number(self.schema)})"
            begin = _waiting_until(deadline, b"begin", lock.encode())
            if is_long:
                begin += _LONG
            with contextmanager(self._transaction)(begin, commit, deadline, is_long=is_long) as db:
                self._require_here(db)
                yield db

    def require_here(self) -> None:
        """See that nothing of it was moved elsewhere, as it is noted here."""
        with called_what_it_is():
            self._require_here(self.connection())

    def _require_here(self, db: Connection) -> None:
        if self._photos is not None:
            moves.require_here(db.notes(), self._photos)

    @contextmanager
    def alone(self) -> Iterator[None]:
        """Wait until nobody else is in here, however long they take."""
        lock = _number(f"{self.schema} alone")
        begin = _TAKE_TIME + b"; set lock_timeout = 0"
        with (
            called_what_it_is(),
            linked(self.server, self.schema, begin, is_long=True) as link,
        ):
            link.execute("select pg_advisory_lock($1)", [lock])
            try:
                yield
            finally:
                link.execute("select pg_advisory_unlock($1)", [lock])

    def forget_the_past(self) -> None:
        """
        Have the rows that were deleted taken out of their pages, as far as nobody reads them.

        The server's log, and copies of it, keep them for as long as they are kept themselves.
        """
        with (
            called_what_it_is(),
            linked(self.server, self.schema, _TAKE_TIME, is_long=True) as link,
        ):
            found = link.execute(
                "select tablename from pg_tables where schemaname = $1", [self.schema]
            )
            names = [text.Identifier(self.schema, name) for (name,) in found]
            link.execute(text.SQL("vacuum (skip_locked) {}").format(text.SQL(", ").join(names)))

    def has_standby(self) -> bool | None:
        """Say whether a second server has each commit before it returns."""
        with called_what_it_is(), linked(self.server, self.schema) as link:
            (named,) = link.execute("show synchronous_standby_names").fetchone() or ("",)
            return bool(named)

    def close(self) -> None:
        """Let go of what this thread holds: nothing, outside of a transaction."""

    def _transaction(
        self,
        begin: bytes,
        commit: "Callable[[Link], object]",
        deadline: float,
        *,
        is_long: bool = False,
    ) -> Iterator[Connection]:
        if getattr(self._local, "held", None) is not None:
            raise RuntimeError("a transaction within a transaction")
        with (
            called_what_it_is(),
            _in_turn(self._links, deadline),
            linked(self.server, self.schema, begin, is_long=is_long) as link,
        ):
            self._local.held = db = Connection(lambda run: run(link), link)
            try:
                yield db
                db.write_waiting()
                commit(link)
            finally:
                self._local.held = None
                if not link.closed and link.info.transaction_status != TransactionStatus.IDLE:
                    with suppress(psycopg.Error):  # else what went wrong before is what is told
                        link.execute("rollback")
                if link.is_spent:
                    link.close()

    def _run_once(self, run: "Callable[[Link], Cursor]") -> Cursor:
        """Ask by itself, on another link where the server has closed one: it is only asked."""
        deadline = time.monotonic() + patience(self.server)
        with called_what_it_is(), _in_turn(self._links, _deadline()):
            while True:
                with linked(self.server, self.schema) as link:
                    try:
                        return run(link)
                    except psycopg.OperationalError:
                        if not link.closed or time.monotonic() > deadline:
                            raise


def _deadline() -> float:
    """Return until when somebody waits whose turn it is not."""
    return time.monotonic() + TURN_SECONDS


def schema_taken(schema: str) -> NotAWorkshop:
    return NotAWorkshop(t(words.SCHEMA_TAKEN, schema=schema), hint=t(words.SCHEMA_TAKEN_HINT))


def _waiting_until(deadline: float, begin: bytes, lock: bytes) -> bytes:
    """Return what begins a transaction and takes a lock, which it waits for until then."""
    left_ms = max(1, round((deadline - time.monotonic()) * 1000))
    return b"%s; set local lock_timeout = %d; %s" % (begin, left_ms, lock)


@contextmanager
def _in_turn(turn: "threading.RLock | threading.Semaphore", deadline: float) -> Iterator[None]:
    if not turn.acquire(timeout=max(0.0, deadline - time.monotonic())):
        raise WorkshopLocked
    try:
        yield
    finally:
        turn.release()


def _number(name: str) -> int:
    """Return the number of an advisory lock. Locks are the whole database's, so it goes by name."""
    return int.from_bytes(hashlib.sha256(name.encode()).digest()[:8], "big", signed=True)
