"""`twoturns procedure diff`: what is another between two editions, and whom it concerns."""

import json
import re
from collections.abc import Iterator
from dataclasses import asdict
from functools import partial
from itertools import groupby
from pathlib import Path

import click

from twoturns.cli.parts import data_if_any, open_store, plain, refuses_in_words
from twoturns.cli.procedure.group import procedure
from twoturns.ledger.forms import NAME
from twoturns.procedure import shape
from twoturns.procedure.compare.change import Change
from twoturns.procedure.compare.editions import compare, kind_words
from twoturns.procedure.compile.bundle import check_bundle, load
from twoturns.procedure.prove.adapted import prove_adapted
from twoturns.store import Store
from twoturns.store.at_work import at_work, names_of_persons
from twoturns.store.words_of_workshop import read_words
from twoturns.words import t
from twoturns.words.en.cli.procedure import diff as words

_PUBLISHED = re.compile(rf"({NAME})@([0-9]+)")


@procedure.command()
@click.argument("before", metavar="A")
@click.argument("after", metavar="B")
@data_if_any(help="The workshop's folder: who must be told, and which open jobs are affected.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object, for programs.")
@refuses_in_words
def diff(before: str, after: str, data: Path | None, as_json: bool) -> None:
    """
    Say in words what edition B of a procedure has that A has not, and what it has no longer.

    A and B are folders, or editions that a workshop published: ID@EDITION, with --data. With
    --data it also says who worked by the procedure, and which open jobs go on by their edition.

    Example:

    \b
        twoturns procedure diff van_timing_drive@3 my/van --data data
    """
    store = None if data is None else open_store(data, needs_key=False)
    old, new = (_bundle(named, store) for named in (before, after))
    found = compare(old, new)
    if as_json:
        click.echo(json.dumps(_report(store, old, new, found), ensure_ascii=False, indent=2))
        return
    click.echo(t(words.HEAD, name=new["name"], old=old["edition"], new=new["edition"]))
    for line in (*told(found), *concerned(store, new["id"])):
        click.echo(plain(line) if line else "")


def _bundle(named: str, store: Store | None) -> shape.Bundle:
    if Path(named).is_dir():
        words_of_it = {} if store is None else read_words(store.folder)
        return prove_adapted(partial(load, Path(named)), words_of_it)[0].bundle
    parts = _PUBLISHED.fullmatch(named)
    if parts is None:
        raise click.UsageError(t(words.NEITHER_FOLDER_NOR_EDITION, named=named))
    if store is None:
        raise click.UsageError(t(words.EDITION_WITHOUT_WORKSHOP, named=named))
    return published(store, parts[1], int(parts[2]))


def published(store: Store, procedure_id: str, edition: int) -> shape.Bundle:
    """
    Return an edition that a workshop published, withdrawn or not.

    Raises:
        UsageError: If it has none, or not its bytes.
    """
    editions = {row["edition"]: row["bundle"] for row in store.views.editions(procedure_id)}
    data = store.blobs.read(editions[edition]) if edition in editions else None
    if data is None:
        known = ", ".join(map(str, editions)) or t(words.NO_EDITION)
        raise click.UsageError(
            t(words.NOT_PUBLISHED, id=procedure_id, edition=edition, known=known)
        )
    return check_bundle(data)


def told(found: list[Change]) -> Iterator[str]:
    """Yield changes as lines, under the heading of their kind."""
    if not found:
        yield t(words.NOTHING)
    for kind, changes in groupby(found, key=lambda change: change.kind):
        yield ""
        yield kind_words(kind)
        for change in changes:
            yield f"  {change.says}"


def concerned(store: Store | None, procedure_id: str) -> Iterator[str]:
    """Yield lines: who worked by a procedure, and which jobs are open by it. None: no workshop."""
    if store is None:
        return
    found, names = at_work(store, procedure_id), names_of_persons(store)
    yield ""
    if found.persons:
        persons = ", ".join(names.get(person, person) for person in found.persons)
        yield t(words.TO_BE_TOLD, persons=persons)
    else:
        yield t(words.NOBODY_TO_TELL)
    yield t(words.OPEN_JOBS, n=len(found.open_jobs))
    for job in found.open_jobs:
        yield t(
            words.OPEN_JOB,
            job=job.job,
            edition=job.edition,
            bay=job.bay or "-",
            begun=job.begun[:10],
        )
    yield t(words.CLOSED_JOBS, n=found.closed)


def _report(
    store: Store | None, old: shape.Bundle, new: shape.Bundle, found: list[Change]
) -> dict[str, object]:
    work = None if store is None else at_work(store, new["id"])
    return {
        "before": {"id": old["id"], "edition": old["edition"]},
        "after": {"id": new["id"], "edition": new["edition"]},
        "changes": [asdict(change) for change in found],
        "at_work": None if work is None else asdict(work),
    }
