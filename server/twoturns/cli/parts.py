"""What several modules of the command line share."""

import secrets
import sqlite3
import time
import uuid
from collections.abc import Callable
from datetime import UTC, datetime
from functools import wraps
from pathlib import Path
from typing import ParamSpec, TypeVar

import click

from twoturns.ledger.errors import LedgerError
from twoturns.procedure.errors import ProcedureError, SourceErrors
from twoturns.store import Store
from twoturns.store.errors import StoreError
from twoturns.store.files import is_full
from twoturns.words import t
from twoturns.words.en.cli import parts as words

P = ParamSpec("P")
R = TypeVar("R")

PORT = 8437


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


def refuses_in_words(command: Callable[P, R]) -> Callable[P, R]:
    """Print a refusal as fact and hint, and exit with 1."""

    @wraps(command)
    def told(*args: P.args, **kwargs: P.kwargs) -> R:
        try:
            return command(*args, **kwargs)
        except SourceErrors as errors:
            raise click.ClickException(faults_told(errors)) from errors
        except (StoreError, LedgerError, ProcedureError) as error:
            raise click.ClickException(f"{error}\n{error.hint}") from error
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

    return Store(data, needs_key=needs_key, progress=tell_of_views)


def tell_of_views(done: int, of: int) -> None:
    """Say how far the views are that are made anew."""
    click.echo(t(words.REBUILDING_VIEWS, done=done, of=of), err=True)


def open_to_write(data: Path, *, needs_key: bool = True) -> Store:
    """Open a workshop to add to it: nothing is signed over a record that is not what it was."""
    store = open_store(data, needs_key=needs_key)
    store.look_over()
    return store


data_option = click.option(
    "--data",
    type=click.Path(file_okay=False, path_type=Path),
    default=Path("data"),
    show_default=True,
    envvar="TWOTURNS_DATA",
    help="The workshop's folder.",
)


def new_person() -> str:
    """Return a fresh person id: a UUID of version 7 (RFC 9562 section 5.7)."""
    value = int(time.time() * 1000) << 80 | secrets.randbits(80)
    value = value & ~(0xF << 76) | 0x7 << 76
    return str(uuid.UUID(int=value & ~(0x3 << 62) | 0x2 << 62))
