"""The workshop's key: show it, hand it over, recover it, commit to a recovery key."""

from pathlib import Path

import click

from twoturns.cli.parts import data_option, now, open_store, open_to_write, plain, refuses_in_words
from twoturns.ledger import recovery
from twoturns.ledger.instants import instant
from twoturns.store import Store
from twoturns.store.succession import (
    check_recovery,
    commit,
    let_in_since,
    recover,
    rotate,
    stated,
)
from twoturns.words import t
from twoturns.words.en.cli import key as words


class Undecided(click.ClickException):
    """Only the owner knows what is his; the command waits for his word."""

    exit_code = 2


@click.group()
def key() -> None:
    """The workshop's key: show it, hand it over, recover it."""


@key.command()
@data_option
@click.option(
    "--statements",
    type=click.IntRange(0, 10_000),
    default=0,
    help="List so many of the newest statements of workshop keys, with their place and time.",
)
@refuses_in_words
def show(data: Path, statements: int) -> None:
    """
    Show the fingerprint, the key that signs now, and how one came to it.

    With --statements one finds the place from which on a stolen key is not to be trusted.

    Example:

    \b
        twoturns key show --statements 40
    """
    store = open_store(data, needs_key=False)
    roster = store.ledger.roster()
    click.echo(t(words.FINGERPRINT, workshop=store.ledger.workshop))
    click.echo(t(words.KEY_SIGNS_NOW, workshop_key=str(roster.workshop_key)))
    for before in reversed(roster.workshop_keys()[:-1]):
        click.echo(t(words.KEY_BEFORE, before=before))
    for one in roster.recoveries:
        click.echo(t(words.RECOVERED_AT, index=one.index, size=one.size))
    for paper in roster.commitments[:-1]:
        click.echo(t(words.PAPER_WORTHLESS, recovery=paper.recovery, index=paper.index))
    for paper in roster.commitments[-1:]:
        click.echo(t(words.PAPER_IN_FORCE, recovery=paper.recovery, index=paper.index))
    click.echo(t(words.LEDGER_SIZE, size=store.ledger.size()))
    for index, received, kind in stated(store, statements):
        click.echo(f"    {index:8}  {instant(received)}  {kind}")
    if not roster.commitments:
        click.echo(t(words.NO_PAPER))
    store.ledger.signer()
    click.echo(t(words.KEY_IS_HERE, data=str(data / "workshop.key")))


@key.command("rotate")
@data_option
@refuses_in_words
def rotate_key(data: Path) -> None:
    """
    Hand the workshop over to a new key, signed for by the one before.

    For a key that is old, or was where it should not have been and that nobody used. If somebody
    may have used it: twoturns key recover. The fingerprint on paper stays what it is.

    Example:

    \b
        twoturns key rotate
    """
    new = rotate(open_to_write(data), now())
    click.echo(t(words.KEY_CHANGED, new=new))
    click.echo(t(words.KEEP_NEW_COPY, path=str(data / "workshop.key")))


@key.command("recover")
@data_option
@click.option(
    "--trusted",
    type=click.IntRange(min=1),
    help="If the key was stolen: how many records are trusted, the place of the first that is not.",
)
@click.option("--trust-all", is_flag=True, help="If nobody else had the key: all is trusted.")
@refuses_in_words
def recover_key(data: Path, trusted: int | None, trust_all: bool) -> None:
    """
    Put a new key in the place of one that is lost or stolen, with the recovery key from paper.

    It beats what the lost key did. If it was stolen, name the place of the first record that you
    do not trust (`twoturns key show --statements 40`): what a workshop key stated from there on no
    longer counts, and devices that came in on its invitations are out. What stands before that
    place stays so for good: no later recovery can name an earlier one.

    Without --trusted or --trust-all it lists, and changes nothing, if there is anything that a
    thief may have stated since the paper was committed to.

    Example:

    \b
        twoturns key recover --trusted 1068
    """
    if trusted is not None and trust_all:
        raise click.UsageError(t(words.TRUST_ONE_WAY))
    store = open_to_write(data, needs_key=False)
    if trusted is None and not trust_all:
        _require_nothing_since(store)
    paper = recovery.read(click.prompt(t(words.ASK_PAPER)))
    check_recovery(store, paper, trusted)
    then = _new_paper(t(words.NEXT_PAPER_ON_RECOVERY))
    undone = recover(store, paper, then=then, size=trusted, now=now())
    click.echo(t(words.RECOVERED, key=store.ledger.key))
    if undone.statements:
        click.echo(t(words.STATEMENTS_UNDONE, size=undone.recovery.size))
        for kind, count in sorted(undone.statements.items()):
            click.echo(t(words.STATEMENTS, n=count, kind=kind))
    click.echo(t(words.KEEP_NEW_COPY, path=str(data / "workshop.key")))


@key.command("commit")
@data_option
@refuses_in_words
def commit_key(data: Path) -> None:
    """
    Make a recovery key for paper, in a workshop that has none, or in the place of the paper before.

    The first one the workshop commits to; each later one is signed for by the paper before, so that
    who steals the workshop's key cannot make a paper of his own.

    Example:

    \b
        twoturns key commit
    """
    store = open_to_write(data)
    before = None
    if store.ledger.roster().commitments:
        before = recovery.read(click.prompt(t(words.ASK_PAPER_IN_FORCE)))
    new = _new_paper(t(words.NEW_PAPER))
    commit(store, new, before=before, now=now())
    click.echo(t(words.COMMITTED) + (t(words.OLD_PAPER_WORTHLESS) * bool(before)))
    click.echo(t(words.KEEP_NEW_COPY, path=str(data / "workshop.key")))


def _require_nothing_since(store: Store) -> None:
    """Stop with 2 where trusting all would leave somebody's right in force, unseen."""
    found = list(let_in_since(store, now()))
    if not found:
        return
    click.echo(t(words.STATED_SINCE_COMMITMENT))
    for index, received, does in found:
        click.echo(f"    {index:8}  {instant(received)}  {plain(does)}")
    raise Undecided(t(words.MAY_BE_A_THIEFS, found=len(found)))


def print_paper(secret: bytes) -> None:
    """Print what is to stand on paper."""
    click.echo(f"\n    {recovery.write(secret)}\n")
    click.echo(t(words.PAPER_FINGERPRINT, thumbprint=recovery.signing_key(secret).thumbprint))


def _new_paper(says: str) -> bytes:
    """Print a new recovery key, and go on only when it is on paper: it is kept nowhere else."""
    secret = recovery.generate()
    click.echo(says)
    print_paper(secret)
    typed = click.prompt(t(words.TYPE_BACK_PAPER))
    if recovery.read(typed) != secret:
        raise click.ClickException(t(words.TYPED_ANOTHER_KEY))
    return secret
