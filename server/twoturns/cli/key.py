"""The workshop's key: show it, hand it over, recover it, commit to a recovery key."""

from pathlib import Path

import click

from twoturns.cli.parts import (
    counted,
    data_option,
    now,
    open_store,
    open_to_write,
    plain,
    refuses_in_words,
)
from twoturns.ledger import recovery
from twoturns.store import Store
from twoturns.store.succession import (
    check_recovery,
    commit,
    let_in_since,
    recover,
    rotate,
    stated,
)

_COPY = "Keep a new copy of {} apart: backups do not hold it. Then make a backup."


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
    click.echo(f"fingerprint, as on paper  {store.ledger.workshop}")
    click.echo(f"key that signs now        {roster.workshop_key}")
    for before in reversed(roster.workshop_keys()[:-1]):
        click.echo(f"key before                {before}")
    for one in roster.recoveries:
        click.echo(
            f"recovered                 at record {one.index}; of workshop keys, nothing from "
            f"record {one.size} up to it counts"
        )
    for paper in roster.commitments[:-1]:
        click.echo(f"recovery key, worthless   {paper.recovery}, since record {paper.index}")
    for paper in roster.commitments[-1:]:
        click.echo(f"recovery key on paper     {paper.recovery}, since record {paper.index}")
    click.echo(f"records in the ledger     {store.ledger.size()}")
    for index, received, kind in stated(store, statements):
        click.echo(f"    {index:8}  {received}  {kind}")
    if not roster.commitments:
        click.echo("recovery key on paper     none: make one with twoturns key commit")
    store.ledger.signer()
    click.echo(f"{data / 'workshop.key'} holds the key that signs now.")


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
    click.echo(f"The workshop's key is now {new}. Phones follow at their next contact.")
    click.echo(_COPY.format(data / "workshop.key"))


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
        raise click.UsageError("--trusted and --trust-all: one of them")
    store = open_to_write(data, needs_key=False)
    if trusted is None and not trust_all:
        _require_nothing_since(store)
    paper = recovery.read(click.prompt("The recovery key, from paper"))
    check_recovery(store, paper, trusted)
    then = _new_paper("This paper will be worthless. The next recovery key, for paper:")
    undone = recover(store, paper, then=then, size=trusted, now=now())
    click.echo(f"Recovered. The workshop's key is now {store.ledger.key}.")
    if undone.statements:
        click.echo(
            f"What workshop keys stated from record {undone.recovery.size} on counts no more. Make "
            "anew what was yours:"
        )
        for kind, count in sorted(undone.statements.items()):
            click.echo(f"    {counted(count, 'statement')} {kind}")
    click.echo(_COPY.format(data / "workshop.key"))


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
        before = recovery.read(click.prompt("The recovery key in force, from paper"))
    new = _new_paper("The recovery key, for paper:")
    commit(store, new, before=before, now=now())
    click.echo(
        "The workshop is committed to it." + (" The paper before is worthless." * bool(before))
    )
    click.echo(_COPY.format(data / "workshop.key"))


def _require_nothing_since(store: Store) -> None:
    """Stop with 2 where trusting all would leave somebody's right in force, unseen."""
    found = list(let_in_since(store, now()))
    if not found:
        return
    click.echo("Since this recovery key was committed to:")
    for index, received, does in found:
        click.echo(f"    {index:8}  {received}  {plain(does)}")
    raise Undecided(
        f"{counted(len(found), 'statement')} may be a thief's. Nothing was changed.\n"
        "If somebody may have had the key: twoturns key recover --trusted N, with the place of the "
        "first record that is not yours.\nThis cannot be done later for an earlier place. What an "
        "owner's device stated stays in any case: revoke it.\n"
        "If all of it is yours: twoturns key recover --trust-all"
    )


def print_paper(secret: bytes) -> None:
    """Print what is to stand on paper."""
    click.echo(f"\n    {recovery.write(secret)}\n")
    click.echo(f"    its fingerprint: {recovery.signing_key(secret).thumbprint}\n")


def _new_paper(says: str) -> bytes:
    """Print a new recovery key, and go on only when it is on paper: it is kept nowhere else."""
    secret = recovery.generate()
    click.echo(says)
    print_paper(secret)
    typed = click.prompt("Write it down, then type it back from the paper")
    if recovery.read(typed) != secret:
        raise click.ClickException("that is another recovery key. Nothing was changed.")
    return secret
