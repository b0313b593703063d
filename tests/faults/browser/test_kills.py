"""
A job is done while browser and workshop are killed at what they claim, on a line that fails.

The seed says at which claims. What was claimed before a kill must be there after it.
"""

from __future__ import annotations

import shutil
from random import Random

import pytest
from playwright.sync_api import Page

from browser.mechanic import IN_THE_WORKSHOP, comes_to
from faults.browser.oracle import BACKED_UP, Claim, check_all_arrived
from faults.browser.rig import Rig, everything_goes_out, is_closed
from faults.proxy import (
    Fault,
    Plan,
    Request,
    answer_cut,
    answer_dropped,
    late_twin,
    passes,
    request_cut,
    twice,
)
from twoturns.store import Store
from twoturns.store.restore import restore
from twoturns.store.store import KEY_FILE

pytestmark = [pytest.mark.browser, pytest.mark.slow(20)]


def lossy(rng: Random, most: int) -> Plan:
    """So many requests of sync's go wrong, each in a way of chance; the rest pass."""
    left = most

    def plan(request: Request) -> Fault:
        nonlocal left
        if left == 0 or not request.is_to_workshop or rng.random() < 0.5:
            return passes
        left -= 1
        at = rng.randrange(len(request.whole))
        return rng.choice(
            [answer_dropped, twice, request_cut(at), answer_cut(at % 300), late_twin(0.3)]
        )

    return plan


def test_a_job_survives_kills_at_its_claims(rig):
    kill_through_a_job(rig, Random(1), kills=3)


def kill_through_a_job(rig: Rig, rng: Random, kills: int) -> None:
    """Do the whole job without a line, killed so often; then let it out over a line that fails."""
    rig.cut()
    job = work_and_be_killed(rig, rng, kills)
    rig.proxy.plan = lossy(rng, most=8)
    with rig.opened(job) as page:
        written = rig.oracle.check_phone(page)
        the_workshop_dies_when_it_is_said_to_have_all(rig, page, written[0].device)
        the_backup_holds_what_is_said_to_be_backed_up(rig, page, written[0].device)
        rig.oracle.check_phone(page)
    check_all_arrived(Store(rig.workshop.data), written)


def work_and_be_killed(rig: Rig, rng: Random, most: int) -> str:
    """Do the job to its end, killed so often at most; returns its address."""
    killed, next_kill = 0, rng.randrange(1, 5)

    def hear(_: Claim) -> None:
        nonlocal killed, next_kill
        if killed < most and len(rig.oracle.claims) >= next_kill:
            killed += 1
            next_kill = len(rig.oracle.claims) + rng.randrange(2, 9)
            rig.kill()

    rig.oracle.then = hear
    while True:
        with rig.opened() as page:
            rig.oracle.check_phone(page)
            if rig.work(page, until=is_closed):
                assert killed or not most  # a seed may ask for more than there are claims
                return page.evaluate("location.hash")


def the_workshop_dies_when_it_is_said_to_have_all(rig: Rig, page: Page, device: str) -> None:
    """At that very word: then what is on its disk must be all of it."""
    dead: list[Claim] = []

    def hear(claim: Claim) -> None:
        if claim.words == IN_THE_WORKSHOP and claim.where == "head" and not dead:
            rig.workshop.kill()
            dead.append(claim)

    rig.oracle.then = hear
    everything_goes_out(page)
    assert dead
    rig.oracle.check_workshop(rig.workshop.data, device)
    rig.workshop.start()


def the_backup_holds_what_is_said_to_be_backed_up(rig: Rig, page: Page, device: str) -> None:
    assert BACKED_UP not in rig.oracle.words("head")
    backup = rig.workshop.folder / "backup"
    rig.workshop.run("backup", str(backup), data=True)
    comes_to(page, BACKED_UP)
    # A backup has no key: put back into a folder and with it, it is a workshop.
    put_back = rig.workshop.folder / "put-back"
    restore(backup, put_back)
    shutil.copy(rig.workshop.data / KEY_FILE, put_back)
    rig.oracle.check_workshop(put_back, device)
