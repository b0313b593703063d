"""The desk made ready, by the commands after which somebody looks at it."""

from typing import Final

import click

from twoturns.store import Store
from twoturns.store.summaries import AT_ONCE, fill
from twoturns.words import t
from twoturns.words.en.cli import filling as words

TOLD_EACH: Final = 20 * AT_ONCE


def fill_desk(store: Store) -> None:
    """Have all lines of the desk made before somebody looks at it. Of many it is told."""

    def told(done: int, of: int) -> None:
        if done % TOLD_EACH == 0 and of > AT_ONCE:
            click.echo(t(words.FOLDING_JOBS, done=done, of=of), err=True)

    fill(store, told)
