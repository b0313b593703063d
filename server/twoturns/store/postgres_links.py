"""
Connections to PostgreSQL servers: shared by all workshops of a process, a pool for each server.

Where a server has a synchronous standby, a commit returns when that has it. One which only finds
what is there already writes a message into the log, so that it waits, too: what it tells of may be
what another waited for in vain. Nobody cancels such a wait from here, for that would show what is
not confirmed: who waits too long goes away, and the server waits on. Since a server came up, a
commit must have been confirmed before anything is read (`_require_office`): one that was deposed
has no standby that would do that.

A server that takes connections and says nothing, as one that was stopped, holds nobody: each
statement has its time (`Link.wait`), and who waited in vain is told, never answered. The server
ends by itself what takes too long, and what nobody waits for any more; but no commit.
"""

import atexit
import logging
import os
import re
import selectors
import threading
import time
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager
from typing import Any, Final, TypeVar

import psycopg
import psycopg_pool
from psycopg import errors as sql_errors
from psycopg import sql as text
from psycopg.abc import PQGen
from psycopg.adapt import Buffer, Dumper, Loader
from psycopg.conninfo import conninfo_to_dict, make_conninfo
from psycopg.pq import ExecStatus, TransactionStatus
from psycopg.pq.abc import PGconn
from psycopg.types.numeric import Int8Dumper

from twoturns.store.errors import (
    RESTORE,
    Damaged,
    OutcomeUnknown,
    StoreError,
    WorkshopAway,
    WorkshopFull,
    WorkshopLocked,
    WorkshopShut,
    told_as,
)
from twoturns.words import t
from twoturns.words.en.store import postgres_links as words

R = TypeVar("R")
# A request is asked for by a proxy that waits for a minute (nginx): turn, connection and commit are
# within it.
TURN_SECONDS: Final = 10.0  # for who waits to write, or for a connection
CONNECT_SECONDS: Final = 10.0  # a standby is promoted in some five
WAIT_SECONDS: Final = 30.0  # for the standby
ANSWER_SECONDS: Final = 25.0  # for a statement; what people wait for takes a tenth of a second
LONG_SECONDS: Final = 3_600.0  # where views are made anew, say: nobody is kept waiting for it
SOON_SECONDS: Final = 0.5
MOST_CONNECTIONS: Final = 16  # of a process, to one server
_SESSION: Final = " ".join(
    f"-c {setting}"
    for setting in (
        "synchronous_commit=on",
        "lock_timeout=10s",
        # Less than ANSWER_SECONDS: who is slow can say so, who is dead cannot.
        "statement_timeout=20s",
        # A machine that vanishes or stands still in the middle of a write must not have the
        # workshop for hours.
        "idle_in_transaction_session_timeout=60s",
        "client_connection_check_interval=5s",  # of a statement, or a wait for a lock; no commit
        "tcp_keepalives_idle=10",
        "tcp_keepalives_interval=5",
        "tcp_keepalives_count=3",
        "tcp_user_timeout=25s",
        "timezone=UTC",
        "jit=off",  # no statement of ours runs for as long as it takes to compile one
        "random_page_cost=1.1",  # of disks that do not turn: few rows are fetched by their index
        # Statements are written for joins by an index, row by row: SQLite has no other. Where it is
        # wrong about how many rows there will be, a server would read a whole table to hash it.
        "enable_hashjoin=off",
        "enable_mergejoin=off",
        "default_transaction_read_only=off",
    )
)
_LINK: Final[dict[str, Any]] = {
    "options": _SESSION,
    "autocommit": True,
    "cursor_factory": psycopg.RawCursor,
}
_CONNECTING: Final[dict[str, Any]] = {
    "connect_timeout": 5,
    "keepalives_idle": 10,
    "keepalives_interval": 5,
    "keepalives_count": 3,
    "tcp_user_timeout": 25_000,
    "target_session_attrs": "read-write",
    "application_name": "twoturns",
}
# The message makes a commit that wrote nothing wait for the standby as others do.
_COMMIT: Final = b"select pg_logical_emit_message(true, 'twoturns', ''); commit"
# libpq 15, fe-connect.c, as it says of an option that it read and cannot take.
_BAD_VALUE: Final = re.compile(r"(?:connection is bad: )?(?:invalid [\w ]+ (?:value|number)\b.*)")
_IS_CONFIRMED: Final = b"select 1 from confirmed where since = pg_postmaster_start_time()::text"
_CONFIRM: Final = b"""
insert into confirmed values (pg_postmaster_start_time()::text) on conflict do nothing
"""
HOME: Final = text.SQL("set role {0}; set search_path to {0}")


class Silent(psycopg.OperationalError):
    """The server has the question, and did not answer in time."""

    def __init__(self, seconds: float) -> None:
        super().__init__(t(words.SILENT, seconds=seconds))


class Link(psycopg.Connection[tuple[Any, ...]]):
    """
    A connection to a server, whose workshop's role it has now, and how long it waits for each
    answer.
    """

    home: str = ""
    is_unconfirmed: bool = False
    is_spent: bool = False
    seconds: float = ANSWER_SECONDS

    def wait(self, gen: PQGen[R], *args: Any, **named: Any) -> R:
        """
        Wait for an answer, and no longer than that.

        Raises:
            Silent: If none came. The link is closed: what it asked for nobody hears any more.
        """
        seconds = self.seconds
        try:
            return super().wait(_within(gen, seconds), *args, **named)
        except Silent:
            self.close()
            raise

    @contextmanager
    def within(self, seconds: float) -> Iterator[None]:
        """Wait so long for each answer in here."""
        before, self.seconds = self.seconds, seconds
        try:
            yield
        finally:
            self.seconds = before


def _within(waiting: PQGen[R], seconds: float) -> PQGen[R]:
    """Hand on what psycopg waits for, until the time is over; it looks in ten times a second."""
    deadline = time.monotonic() + seconds
    try:
        state = next(waiting)
        while True:
            ready = yield state
            if time.monotonic() > deadline:
                raise Silent(seconds)
            state = waiting.send(ready)
    except StopIteration as end:
        answer: R = end.value
        return answer


@contextmanager
def linked(
    server: str, home: str | None, begin: bytes = b"", *, is_long: bool = False
) -> Iterator[Link]:
    """
    Give a link on which `begin` went through. One that the server has closed meanwhile is thrown
    away for another, as long as there may be one: nothing was asked of it yet.

    Args:
        server: How the server is reached.
        home: The schema, and the role, that the link is to have; None: whatever it has.
        begin: What to run first.
        is_long: Whether what is asked may take its time. That the server lets it is for `begin`.
    """
    pool = _pool(server)
    link = _take(pool, server, home, begin)
    try:
        with link.within(LONG_SECONDS if is_long else ANSWER_SECONDS):
            yield link
    except (Silent, OutcomeUnknown):
        _away.add(server)
        raise
    finally:
        if is_long:
            link.close()  # and with it what was said of time for it
        pool.putconn(link)


def _take(
    pool: "psycopg_pool.ConnectionPool[Link]", server: str, home: str | None, begin: bytes
) -> Link:
    deadline = time.monotonic() + patience(server)
    while True:
        link = _one_of(pool, server, deadline)
        try:
            if server in _away:
                _hear_from(link)
            if home is not None:
                _lead_home(link, home)
            if begin:
                link.execute(begin, prepare=False)
        except BaseException as error:
            is_lost = link.closed
            pool.putconn(link)
            if isinstance(error, Silent):
                _away.add(server)
            if not is_lost or time.monotonic() > deadline or not is_away(error):
                raise
        else:
            _away.discard(server)
            return link


def _hear_from(link: Link) -> None:
    """Have a server that was silent answer something, before it is asked what others wait for."""
    with link.within(SOON_SECONDS):
        link.execute("select 1", prepare=False)


def _one_of(pool: "psycopg_pool.ConnectionPool[Link]", server: str, deadline: float) -> Link:
    try:
        return pool.getconn(max(0.1, deadline - time.monotonic()))
    except psycopg_pool.PoolTimeout:
        if server not in _away:
            _away.add(server)
            psycopg.connect(reached(server)).close()  # says why, if it still is so
        raise


def _lead_home(link: Link, home: str) -> None:
    """Have a link take on a workshop's role, unless it has it."""
    if link.home != home:
        link.home = ""
        link.execute(HOME.format(text.Identifier(home)), prepare=False)
        _require_office(link)
        link.home = home


_IDLE: Final = TransactionStatus.IDLE
_FAILED: Final = TransactionStatus.INERROR


def patience(server: str) -> float:
    """Return how long to wait for a server, s: where one has waited in vain, the next do not."""
    return SOON_SECONDS if server in _away else CONNECT_SECONDS


_away: Final[set[str]] = set()  # the servers that nobody has reached since somebody waited
_pools: Final[dict[tuple[str, int], "psycopg_pool.ConnectionPool[Link]"]] = {}
_pools_turn: Final = threading.Lock()


def _pool(server: str) -> "psycopg_pool.ConnectionPool[Link]":
    """
    Return this process's connections to a server. It is asked for one by itself first: a pool does
    not say why it has none, and waits.
    """
    whose = (server, os.getpid())
    if whose not in _pools:
        psycopg.connect(reached(server)).close()  # others do not wait for this server meanwhile
    with _pools_turn:
        if whose not in _pools:
            # Of each link that is closed on purpose it would warn; what fails is told by who asked.
            logging.getLogger("psycopg.pool").setLevel(logging.ERROR)
            _pools[whose] = psycopg_pool.ConnectionPool(
                reached(server),
                connection_class=Link,
                kwargs=_LINK,
                min_size=0,
                reconnect_timeout=CONNECT_SECONDS,
                max_size=MOST_CONNECTIONS,
                configure=_begin_link,
                open=True,
            )
        return _pools[whose]


def connected(server: str) -> Link:
    """Return a link of its own, as who logs in: to make what a workshop is to have."""
    link = Link.connect(reached(server), **_LINK)
    _begin_link(link)
    return link


@atexit.register
def close_pools() -> None:
    """Close this process's connections to all servers."""
    with _pools_turn:
        for whose in [one for one in _pools if one[1] == os.getpid()]:
            _pools.pop(whose).close(timeout=1)


def reached(server: str) -> str:
    """Return how a server is reached, and how it is told from one that is silent."""
    return make_conninfo(server, **_CONNECTING)


def require_readable(server: str) -> None:
    """
    See that libpq can read an address, before anybody is asked there.

    Raises:
        StoreError: `bad-ledger-url`.
    """
    try:
        ports = str(conninfo_to_dict(reached(server)).get("port") or "")
    except psycopg.ProgrammingError as error:
        raise _unreadable(_said(error)) from error
    wrong = [one for one in ports.split(",") if one and not (one.isdecimal() and int(one) < 65536)]
    if wrong:
        raise _unreadable(t(words.NO_PORT, port=wrong[0]))


def _unreadable(what: str) -> StoreError:
    says, hint = t(words.UNREADABLE, what=what), t(words.UNREADABLE_HINT)
    return StoreError(says, code="bad-ledger-url", hint=hint)


def _begin_link(link: Link) -> None:
    """Have rows come and go as SQLite's, and hear what the server says of a commit."""
    link.adapters.register_dumper(int, Int8Dumper)
    link.adapters.register_dumper(bool, _TruthDumper)
    link.adapters.register_loader("bool", _TruthLoader)
    link.adapters.register_loader("numeric", _NumberLoader)
    link.add_notice_handler(lambda notice: _hear(link, notice))


def _require_office(link: Link) -> None:
    """
    See that a server has confirmed a commit since it came up, as the only one that can.

    What it had when it went down may be there now, though no standby ever had it; and a primary
    that was deposed may come up again. `confirmed` is not logged: it is empty after a crash and
    on a standby that is promoted; and another start has another time.
    """
    if link.execute(_IS_CONFIRMED).fetchone() is None:
        link.execute("begin")
        _commit_within(link, CONNECT_SECONDS)
        link.execute(_CONFIRM)


def _hear(link: Link, notice: psycopg.errors.Diagnostic) -> None:
    """Note that somebody at the server ended the wait for the standby: a commit goes on then."""
    if "synchronous replication" in (notice.message_primary or ""):
        link.is_unconfirmed = True


def commit(link: Link) -> None:
    """
    Commit, and wait until that is confirmed.

    Raises:
        OutcomeUnknown: If it is not, in time.
    """
    _commit_within(link, WAIT_SECONDS)


def _commit_within(link: Link, seconds: float) -> None:
    try:
        _await(link.pgconn, _COMMIT, time.monotonic() + seconds)
    except (psycopg.Error, TimeoutError) as error:
        is_known = link.info.transaction_status in (_IDLE, _FAILED)
        if is_known:
            raise
        link.close()
        raise OutcomeUnknown from error
    if link.is_unconfirmed:
        link.close()
        raise OutcomeUnknown


def _await(connection: PGconn, said: bytes, deadline: float) -> None:
    """Run statements, and wait for what comes of them until then and no longer."""
    connection.send_query(said)
    connection.flush()
    with selectors.DefaultSelector() as selector:
        selector.register(connection.socket, selectors.EVENT_READ)
        while True:
            while connection.is_busy():
                if not selector.select(max(0.0, deadline - time.monotonic())):
                    raise TimeoutError
                connection.consume_input()
            result = connection.get_result()
            if result is None:
                return
            if result.status == ExecStatus.FATAL_ERROR:
                failure = sql_errors.error_from_result(result)
                while connection.get_result() is not None:
                    pass
                raise failure


class _TruthDumper(Dumper):
    oid = psycopg.adapters.types["int8"].oid

    def dump(self, obj: bool) -> Buffer:
        return b"1" if obj else b"0"


class _TruthLoader(Loader):
    def load(self, data: Buffer) -> int:
        return int(bytes(data) == b"t")


class _NumberLoader(Loader):
    """A sum of whole numbers is one."""

    def load(self, data: Buffer) -> int | float:
        said = bytes(data).decode()
        return float(said) if "." in said else int(said)


def called_what_it_is() -> AbstractContextManager[None]:
    """Turn what PostgreSQL says into the store's own errors."""
    return told_as(psycopg.Error, what_it_is)


def what_it_is(error: psycopg.Error) -> StoreError | None:
    """
    Return what a failure of PostgreSQL's means for the workshop; None for a fault of ours.

    Source: PostgreSQL 15, appendix A, "PostgreSQL Error Codes".
    """
    code = error.sqlstate
    if code is None and (found := _BAD_VALUE.match(_said(error))):
        return _unreadable(found[0])
    if code == "53100":
        return WorkshopFull()
    if code in ("55P03", "40001", "40P01"):  # lock not available, serialization failure, deadlock
        return WorkshopLocked()
    if code in ("42501", "3D000") or (code or "").startswith(
        "28"
    ):  # no right, no database, no way in
        return WorkshopShut(_said(error))
    if code in ("XX001", "XX002"):
        return Damaged(t(words.LEDGER_DAMAGED, error=_said(error)), hint=RESTORE)
    return WorkshopAway(_said(error)) if is_away(error) else None


def is_away(error: BaseException) -> bool:
    """Say whether a server went away, is only a standby, or takes no more connections."""
    code = getattr(error, "sqlstate", None)
    if code is not None:  # no connection, no resources, an operator's doing, its system's failure
        return code[:2] in ("08", "53", "57", "58") or code == "25006"
    return isinstance(error, psycopg.OperationalError | psycopg.InterfaceError)


def _said(error: psycopg.Error) -> str:
    return " ".join(str(error).split()) or type(error).__name__
