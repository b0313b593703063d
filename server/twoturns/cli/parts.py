"""What several modules of the command line share."""

from __future__ import annotations

import os
import secrets
import sqlite3
import time
import uuid
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, ParamSpec, TypeVar

import click

from twoturns.ledger.errors import LedgerError
from twoturns.procedure.errors import ProcedureError, SourceErrors
from twoturns.store.errors import StoreError
from twoturns.store.files import is_full
from twoturns.store.installation import folder_of
from twoturns.words import t
from twoturns.words.en.cli import parts as words

if TYPE_CHECKING:
    from twoturns.store import Store

P = ParamSpec("P")
R = TypeVar("R")

PORT = 8437
FILE = click.Path(exists=True, dir_okay=False, path_type=Path)  # that is there
LEDGER = "TWOTURNS_LEDGER"


def now() -> datetime:
    return datetime.now(UTC)


def plain(text: str) -> str:
    """
    Return a line that a terminal shows and does not obey, whoever wrote parts of it.

    >>> plain("saw\\x1b[2J\\nProven")
    'saw\\\\x1b[2J\\\\nProven'
    """
    return "".join(
        one if one.isprintable() else one.encode("unicode_escape").decode() for one in text
    )


def at_port(default: int, *, help: str) -> Callable[[Callable[P, R]], Callable[P, R]]:  # noqa: A002 - click's own word
    """The option `--port` of a command that serves."""
    return click.option(
        "--port",
        type=click.IntRange(1, 65_535),
        default=default,
        show_default=True,
        help=help,
    )


def refuses_in_words(command: Callable[P, R]) -> Callable[P, R]:
    """Print a refusal as fact and hint, and exit with 1."""

    @wraps(command)
    def told(*args: P.args, **kwargs: P.kwargs) -> R:
        try:
            return command(*args, **kwargs)
        except SourceErrors as errors:
            raise click.ClickException(faults_told(errors)) from errors
        except (StoreError, LedgerError, ProcedureError) as error:
            particulars = error.particulars if isinstance(error, StoreError) else ""
            said = [str(error), particulars, error.hint]
            raise click.ClickException("\n".join(filter(None, said))) from error
        except sqlite3.DatabaseError as error:
            raise click.ClickException(t(words.LEDGER_UNREADABLE, error=str(error))) from error
        except BrokenPipeError:
            raise  # who reads our output has seen enough: click ends without a word
        except OSError as error:
            raise told_of(error) from error

    return told


def faults_told(errors: SourceErrors) -> str:
    """Return every fault of a source with what to do about it, and how many there are."""
    faults = [f"{fault}\n    {fault.hint}" for fault in errors.problems]
    return "\n".join([*faults, errors.hint])


def told_of(error: OSError) -> click.ClickException:
    """Say in words what the system refused."""
    if is_full(error):
        return click.ClickException(t(words.DISK_FULL))
    what = f"{error.filename}: {error.strerror}" if error.filename else str(error)
    return click.ClickException(t(words.FOLDER_UNUSABLE, what=what))


def require_new(out: Path) -> None:
    """Refuse to write over a file, which may be the very one asked about, or into no folder."""
    if out.exists():
        raise click.UsageError(t(words.FILE_EXISTS, out=str(out)))
    if not out.parent.is_dir():
        raise click.UsageError(t(words.NO_SUCH_FOLDER, parent=str(out.parent)))


def open_store(data: Path, *, needs_key: bool = True) -> Store:
    """Open a workshop. Where its views must be made anew first, that takes a while and is told."""
    from twoturns.store import Store  # noqa: PLC0415 - many commands open none

    return Store(data, needs_key=needs_key, progress=tell_of_views)


def tell_of_views(done: int, of: int) -> None:
    """Say how far the views are that are made anew."""
    click.echo(t(words.REBUILDING_VIEWS, done=done, of=of), err=True)


def open_to_write(data: Path, *, needs_key: bool = True) -> Store:
    """Open a workshop to add to it: nothing is signed over a record that is not what it was."""
    store = open_store(data, needs_key=needs_key)
    store.look_over()
    return store


def photos_option(command: Callable[P, R]) -> Callable[P, R]:
    """The option `--photos` of a command that makes a workshop's folder: from then on that says."""
    return click.option(
        "--photos",
        metavar="URL",
        envvar="TWOTURNS_PHOTOS",
        help="Where its photos are to be: dir:/a/folder, or s3+https://host:port/bucket/prefix, "
        "its key in AWS_ACCESS_KEY_ID and AWS_SECRET_ACCESS_KEY. In its folder, if not given.",
    )(command)


def data_of_all(command: Callable[P, R]) -> Callable[P, R]:
    """
    The options `--data`, of a command that may be about all workshops of an installation, and
    `--ledger`, which is told on as the variable is: to workers and to processes of their own.
    """

    def tell(context: click.Context, _: click.Parameter, url: str | None) -> None:
        if url is not None:
            context.with_resource(_environment(LEDGER, url))

    reached = click.option(
        "--ledger",
        metavar="URL",
        expose_value=False,
        callback=tell,
        help=f"Where ledgers lie: sqlite: (in the folder) or postgresql://USER@HOST/DATABASE. Of a "
        f"workshop that is made already, how its server is reached. {LEDGER} stands for it, and is "
        "the place for a password.",
    )
    return click.option(
        "--data",
        type=click.Path(file_okay=False, path_type=Path),
        default=Path("data"),
        show_default=True,
        envvar="TWOTURNS_DATA",
        help="The workshop's folder, or that of an installation of many.",
    )(reached(command))


@contextmanager
def _environment(name: str, value: str) -> Iterator[None]:
    """Set a variable as long as a command runs."""
    before = os.environ.get(name)
    os.environ[name] = value
    try:
        yield
    finally:
        del os.environ[name]
        if before is not None:
            os.environ[name] = before


def data_option(command: Callable[..., R]) -> Callable[..., R]:
    """The options `--data` and `--workshop` of a command that is about one: it is given `data`."""
    return data_of_all(_of_one(command))


def data_if_any(*, help: str) -> Callable[[Callable[..., R]], Callable[..., R]]:  # noqa: A002 - click's own word
    """As `data_option`, of a command that also does without a workshop: `data` is None then."""

    def made(command: Callable[..., R]) -> Callable[..., R]:
        return click.option(
            "--data",
            type=click.Path(file_okay=False, path_type=Path),
            envvar="TWOTURNS_DATA",
            help=help,
        )(_of_one(command))

    return made


def _of_one(command: Callable[..., R]) -> Callable[..., R]:
    """Add `--workshop`, and give the command the folder of the workshop that is meant."""

    @click.option(
        "--workshop", metavar="HOST", help="Which workshop of an installation: its host name."
    )
    @wraps(command)
    def of_one(*args: object, data: Path | None, workshop: str | None, **given: object) -> R:
        if data is None and workshop is not None:
            raise click.UsageError(t(words.OF_WHICH_INSTALLATION))
        if data is None:
            return command(*args, data=None, **given)
        folder = refuses_in_words(folder_of)(data, workshop)
        if workshop is not None:
            from twoturns.store import events  # noqa: PLC0415 - --help needs none

            events.concern(folder.name)
        return command(*args, data=folder, **given)

    return of_one


def new_person() -> str:
    """Return a fresh person id: a UUID of version 7 (RFC 9562 section 5.7)."""
    value = int(time.time() * 1000) << 80 | secrets.randbits(80)
    value = value & ~(0xF << 76) | 0x7 << 76
    return str(uuid.UUID(int=value & ~(0x3 << 62) | 0x2 << 62))
