"""
The commands for erasing: order it, see what is ordered, withdraw it, carry it out.

The console orders as an owner does: after the delay, unless it hastens.
"""

from pathlib import Path

import click

from twoturns.bag.blob_uses import uses_of_blobs
from twoturns.bag.repeats import file_places
from twoturns.cli.parts import data_option, now, open_store, open_to_write, plain, refuses_in_words
from twoturns.ledger.bodies_of_workshops import BLOBS
from twoturns.ledger.erasure import MOST_DELAY_DAYS
from twoturns.ledger.forms import SHA256, is_formed
from twoturns.ledger.instants import instant
from twoturns.store import Store
from twoturns.store.blob_names import where_named
from twoturns.words import t
from twoturns.words.en.cli import erase as words

reason_option = click.option(
    "--reason", required=True, help="Why, in clear: it stays in the ledger, so name nobody."
)
basis_option = click.option(
    "--basis", required=True, help="What asks for it: the law and its article, or a contract."
)
because_option = click.option("--because", required=True, help="Why, in clear: name nobody.")


@click.group()
def erase() -> None:
    """Erase private values and photos: an order hides at once and is carried out later."""


@erase.command("job")
@click.argument("job")
@data_option
@reason_option
@basis_option
@click.option("--photos", is_flag=True, help="Photos and recordings too, not only words and names.")
@refuses_in_words
def of_job(job: str, data: Path, reason: str, basis: str, photos: bool) -> None:
    """
    Order all private values of JOB erased: VIN, plate, customer, words, signatures.

    Example:

    \b
        twoturns erase job 01935f2a-7c00-7000-8000-000000000001 \\
            --reason "the customer asked" --basis "GDPR 17(1)(b)"
    """
    store = open_to_write(data)
    entries = [record.entry for _, record, _ in store.ledger.job_entries(job)]
    files = {blob for one in entries for blob, _ in file_places(one)}
    own = [
        blob
        for blob in uses_of_blobs(entries)
        if (photos or blob not in files) and not store.views.are_of_another_job([blob], job)
    ]
    _order(store, own, reason, basis, f"job {job}")


@erase.command("person")
@click.argument("person")
@data_option
@reason_option
@basis_option
@refuses_in_words
def of_person(person: str, data: Path, reason: str, basis: str) -> None:
    """
    Order the name of PERSON erased, in every spelling that was ever stated.

    What the person wrote stays: it is evidence about engines. Its words go with their jobs.

    Example:

    \b
        twoturns erase person 01935f2a-7c00-7000-8000-000000000002 \\
            --reason "left the workshop" --basis "GDPR 17(1)(a)"
    """
    store = open_to_write(data)
    named = [
        one.entry.body["name"]["blob"]
        for one in store.ledger.statements("person.named")
        if one.entry.body["person"] == person
    ]
    _order(store, named, reason, basis, f"person {person}")


@erase.command("lost")
@click.argument("blob")
@data_option
@reason_option
@basis_option
@refuses_in_words
def lost(blob: str, data: Path, reason: str, basis: str) -> None:
    """
    Order one photo or value erased that is damaged here, and that nobody has any more.

    BLOB is its name, as `scrub` says it. Bags of its job can be made again from then on, and say
    so. Look for it on the phones and in every backup first.

    Example:

    \b
        twoturns erase lost 94088391f5a060033f6acf7778b612962b092b012208676af2228518fd6aca30 \\
            --reason "the disk failed, no copy is left" --basis "cannot be shown any more"
    """
    store = open_to_write(data)
    if not is_formed(blob, SHA256) or store.views.kept_at(blob) is None:
        raise click.ClickException(t(words.BLOB_NOT_KEPT, blob=plain(blob)))
    if store.blobs.check(blob) == "whole":
        raise click.ClickException(t(words.BLOB_IS_WHOLE, blob=blob))
    _order(store, [blob], reason, basis, str(where_named(store.database, blob)))


def _order(store: Store, blobs: list[str], reason: str, basis: str, what: str) -> None:
    left = [blob for blob in dict.fromkeys(blobs) if not store.views.is_erased(blob)]
    if not left:
        raise click.ClickException(t(words.NOTHING_TO_ERASE, what=plain(what)))
    for start in range(0, len(left), BLOBS):
        body = {"blobs": left[start : start + BLOBS], "reason": reason, "basis": basis}
        _, said = store.ledger.state("erasure.ordered", body, now())
        told = next(one for one in store.erasing.orders() if one.row["id"] == said.id)
        click.echo(said.id)
        click.echo(
            t(
                words.HIDDEN_UNTIL_ERASED,
                blobs=len(body["blobs"]),
                what=plain(what),
                due=instant(told.row["due"]),
                said_id=said.id[:12],
            ),
            err=True,
        )


@erase.command("list")
@data_option
@refuses_in_words
def listed(data: Path) -> None:
    """
    List what is ordered erased, the newest first, and the rule that holds.

    Example:

    \b
        twoturns erase list
    """
    erasing = open_store(data).erasing
    for told in erasing.orders():
        row = told.row
        when = (
            t(words.ERASED_FROM, due=instant(row["due"]))
            if told.state == "waits"
            else told.because or ""
        )
        click.echo(
            f"{row['id'][:12]}  {told.state:11}  {t(words.BLOBS, n=len(told.blobs)):>9}, "
            f"{t(words.LEFT, n=len(told.left))}  {plain(row['reason'])} ({plain(row['basis'])})  "
            f"{plain(when)}"
        )
    rule, stated = erasing.rules(now())
    click.echo(t(words.RULE_IN_FORCE, delay_days=rule.delay_days, blobs_a_day=rule.blobs_a_day))
    for name, one in stated:
        if one.withdrawn is None and not one.holds(f"{now():%Y-%m-%dT%H:%M:%S.000Z}"):
            delay, most = one.rule.delay_days, one.rule.blobs_a_day
            said = t(words.RULE_TO_COME, begins=instant(one.begins), days=delay, most=most)
            click.echo(f"{name[:12]}  {said}")


@erase.command("withdraw")
@click.argument("order")
@data_option
@because_option
@refuses_in_words
def withdraw(order: str, data: Path, because: str) -> None:
    """
    Withdraw an ORDER, or a rule that has not begun: by the first characters of its id.

    Example:

    \b
        twoturns erase withdraw 3f9a12c4 --because "ordered by a phone that was stolen"
    """
    store = open_to_write(data)
    rules = [name for name, _ in store.erasing.rules(now())[1]]
    found = _find(order, [*(one.row["id"] for one in store.erasing.orders()), *rules])
    store.ledger.state("erasure.withdrawn", {"order": found, "because": because}, now())
    click.echo(t(words.WITHDRAWN, found=found))


@erase.command("now")
@click.argument("order")
@data_option
@because_option
@refuses_in_words
def at_once(order: str, data: Path, because: str) -> None:
    """
    Carry out an ORDER at once: by the first characters of its id. There is no way back.

    Example:

    \b
        twoturns erase now 3f9a12c4 --because "the court's order of 2 December"
    """
    store = open_to_write(data)
    waiting = [one.row["id"] for one in store.erasing.orders() if one.state == "waits"]
    found = _find(order, waiting)
    store.ledger.state("erasure.hastened", {"order": found, "because": because}, now())
    _tell(store.erasing.carry_out_orders(now()))


@erase.command("rule")
@data_option
@click.option(
    "--days",
    required=True,
    type=click.IntRange(1, MOST_DELAY_DAYS),
    help="How long an order waits. The law that asks for erasing allows a month.",
)
@click.option(
    "--most",
    required=True,
    type=click.IntRange(1, 1_000_000),
    help="How many blobs a day erases; an order is never split.",
)
@refuses_in_words
def rule(data: Path, days: int, most: int) -> None:
    """
    Change the delay and the day's most. It holds after the delay that holds now.

    Example:

    \b
        twoturns erase rule --days 14 --most 200
    """
    store = open_to_write(data)
    _, said = store.ledger.state("erasure.ruled", {"delay_days": days, "blobs_a_day": most}, now())
    begins = next(one.begins for name, one in store.erasing.rules(now())[1] if name == said.id)
    click.echo(t(words.RULE_SET, begins=begins, days=days, most=most))


@erase.command("run")
@data_option
@refuses_in_words
def run(data: Path) -> None:
    """
    Carry out what is due. `serve` does so by itself, every minute.

    Example:

    \b
        twoturns erase run
    """
    _tell(open_to_write(data).erasing.carry_out_orders(now()))


def _tell(count: int) -> None:
    click.echo(t(words.ERASED, count=count))


def _find(start: str, names: list[str]) -> str:
    found = [name for name in names if name.startswith(start)]
    if len(found) != 1:
        listed = "".join(f"\n    {name}" for name in found or names)
        what = t(words.NO_ORDER) if not found else t(words.SEVERAL_ORDERS)
        raise click.ClickException(t(words.NAME_ONE, what=what, start=f"{start!r}", listed=listed))
    return found[0]
