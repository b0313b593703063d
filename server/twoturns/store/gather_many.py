"""Gathering several jobs' evidence for one file of bags (`bag.many`), one after the other."""

from collections.abc import Callable, Iterable, Iterator
from functools import partial
from typing import Any, BinaryIO

from twoturns.bag.naming import apart, name_of
from twoturns.store.gather import gather, write
from twoturns.store.store import Store


def bags_of(
    store: Store, jobs: Iterable[str], **wishes: Any
) -> Iterator[tuple[str, str, Callable[[BinaryIO], None]]]:
    """
    Yield of each job its id, the name of its bag's file without ending, and what writes the bag.

    Args:
        store: The workshop.
        jobs: Their ids.
        wishes: As `gather` takes them.
    """
    taken: list[str] = []
    for job in jobs:
        evidence = gather(store, job, **wishes)
        taken.append(apart(name_of(evidence), taken))
        yield job, taken[-1], partial(write, store, evidence)
