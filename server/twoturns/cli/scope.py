"""What `enrol` takes to limit an auditor: jobs, days, private values, an end."""

from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

import click

from twoturns.ledger import private
from twoturns.store.times import as_text
from twoturns.words import t
from twoturns.words.en.cli import scope as words

DAY = "%Y-%m-%d"


def scope_options(command: Callable[..., None]) -> Callable[..., None]:
    """Add the options of a scope, which `scope_of` reads."""
    day = click.DateTime([DAY])
    for option in (
        click.option("--until-day", "end", type=day, help="The last day of an auditor's access."),
        click.option(
            "--value",
            "values",
            multiple=True,
            type=click.Choice(private.FIELDS),
            help="Private values an auditor may read, of this kind; else of any. Repeatable.",
        ),
        click.option("--to", "last", type=day, help="An auditor sees jobs up to this day."),
        click.option("--from", "first", type=day, help="An auditor sees jobs from this day on."),
        click.option("--job", "jobs", multiple=True, help="A job an auditor sees. Repeatable."),
    ):
        command = option(command)
    return command


def scope_of(
    role: str,
    *,
    jobs: tuple[str, ...],
    first: datetime | None,
    last: datetime | None,
    values: tuple[str, ...],
    end: datetime | None,
) -> dict[str, object]:
    """
    Return the `scope` of the invitation; empty where nothing is limited.

    Raises:
        UsageError: If somebody else than an auditor is limited.
    """
    scope: dict[str, Any] = {}
    if jobs:
        scope["jobs"] = list(jobs)
    if first or last:
        scope["days"] = [f"{first:{DAY}}" if first else "0001-01-01"]
        scope["days"].append(f"{last:{DAY}}" if last else "9999-12-31")
    if values:
        scope["values"] = list(values)
    if end:
        scope["end"] = as_text(end.replace(hour=23, minute=59, second=59, tzinfo=UTC))
    if scope and role != "auditor":
        raise click.UsageError(t(words.ONLY_AUDITORS_LIMITED))
    return scope
