"""
What a process that serves does beside answering: carry out orders to erase, read photos through,
fold what the desk shows, make thumbnails.

Each process asks, and one of them does it: what is due stands in the ledger, and a lock says who is
at it. Of one workshop each duty has a thread of its own. Of an installation's many two threads go
round: one often, to those that are open here; one seldom, to all, for an order to erase waits for
nobody to ask. What goes wrong (a full disk, a busy file) is written to the log and tried again.
"""

import logging
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from functools import partial
from itertools import count
from typing import Final

from twoturns.store import Store, events, scrub, summaries
from twoturns.web.workshops import ManyWorkshops, OneWorkshop, Workshops

ERASE_SECONDS: Final = 60.0
SELDOM_SECONDS: Final = 3_600.0  # to open each takes some hundredths of a second
Clock = Callable[[], datetime]


def begin(workshops: Workshops, clock: Clock) -> None:
    """Have threads see to a process's workshops for as long as it lives."""
    if isinstance(workshops, OneWorkshop):
        store = workshops.served.store
        store.thumbnails.begin_making()
        scrub.begin_daily(store, clock)
        summaries.begin_renewing(store)
        _begin(partial(erase_what_is_due, store, clock))
    elif isinstance(workshops, ManyWorkshops):
        _begin(partial(see_to_those_open, workshops, clock))
        _begin(partial(see_to_all, workshops, clock))


def _begin(work: Callable[[], None]) -> None:
    threading.Thread(target=work, daemon=True, name=str(work)).start()


def erase_what_is_due(
    store: Store, clock: Clock, sleep: Callable[[float], None] = time.sleep
) -> None:
    """Carry out orders to erase, now and each minute."""
    while True:
        _erase(store, clock)
        sleep(ERASE_SECONDS)


def see_to_those_open(
    workshops: ManyWorkshops, clock: Clock, sleep: Callable[[float], None] = time.sleep
) -> None:
    """Go round those that phones are asking for; those that nobody asks for are closed."""
    rounds = round(ERASE_SECONDS / summaries.LOOK_SECONDS)
    renewing: dict[Store, summaries.Renewing] = {}
    for number in count():
        workshops.let_go_of_the_idle()
        now_open = workshops.open()
        renewing = {
            one.store: renewing.get(one.store) or summaries.Renewing(one.store) for one in now_open
        }
        for one in now_open:
            with events.of(one.name), _told():
                renewing[one.store].look()
                one.store.thumbnails.make_waiting()
                if number % rounds == 0:
                    _erase(one.store, clock)
        sleep(summaries.LOOK_SECONDS)


def see_to_all(
    workshops: ManyWorkshops, clock: Clock, sleep: Callable[[float], None] = time.sleep
) -> None:
    """Go round all workshops, whoever asks for them: first for what must not wait."""
    scrub.stand_behind()
    while True:
        for duty in (_erase, scrub.look):
            for name in workshops.each:
                with events.of(name), _told():
                    _see_to(duty, workshops.find(name).store, clock)
        sleep(SELDOM_SECONDS)


def _see_to(duty: Callable[[Store, Clock], None], store: Store, clock: Clock) -> None:
    try:
        duty(store, clock)
    finally:
        store.let_go()


def _erase(store: Store, clock: Clock) -> None:
    try:
        store.erasing.carry_out_orders(clock())
    except Exception:
        logging.getLogger("twoturns").exception("orders to erase wait: tried again in a minute")


@contextmanager
def _told() -> Iterator[None]:
    """Write to the log what goes wrong, whatever it is: it stops no other workshop's turn."""
    try:
        yield
    except Exception:
        logging.getLogger("twoturns").exception("not all was seen to: tried again at the next look")
