"""
Pure work on many records, spread over the processors.

Python code of one process runs on one processor at a time; so long work goes to processes of its
own, which are told everything they need and give back what comes of it.
"""

import os
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from itertools import chain, islice
from multiprocessing import get_context
from typing import Final, TypeVar

P = TypeVar("P")
R = TypeVar("R")

DONE_HERE: Final = 20  # pieces: starting processes takes half a second


def on_all_cores(work: Callable[[P], R], pieces: Iterable[P]) -> Iterator[R]:
    """
    Yield what comes of each piece, in their order. The first few are done here: there may be no
    more of them.

    Args:
        work: A function of a module, or a `partial` of one; it must not need this process.
        pieces: Each worth some tens of milliseconds; taken as they are needed, a few ahead.
    """
    cores, pieces = os.cpu_count() or 1, iter(pieces)
    yield from map(work, islice(pieces, None if cores == 1 else DONE_HERE))
    first = next(pieces, None)
    if first is None:
        return
    # Not forked: this process may have threads, and SQLite's files open.
    with ProcessPoolExecutor(cores, mp_context=get_context("spawn")) as pool:
        ahead: deque[Future[R]] = deque()
        for piece in chain([first], pieces):
            ahead.append(pool.submit(work, piece))
            if len(ahead) > 2 * cores:
                yield ahead.popleft().result()
        while ahead:
            yield ahead.popleft().result()
