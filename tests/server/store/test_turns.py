"""Turns of a process's threads: who reads stands aside for who writes, and one reads at a time."""

import time
from concurrent.futures import ThreadPoolExecutor

import pytest

from twoturns.store.turns import Turns


def read(turns: Turns, said: list[str], name: str) -> None:
    with turns.reading() as give_way:
        for _ in range(3):
            said.append(name)
            give_way()


def test_who_reads_goes_no_further_while_another_writes():
    turns, said = Turns(), []
    with ThreadPoolExecutor(1) as pool:
        with turns.writing():
            reading = pool.submit(read, turns, said, "a")
            while not said:
                time.sleep(0.001)
            with pytest.raises(TimeoutError):
                reading.result(0.05)
            assert said == ["a"]
        reading.result()
    assert said == ["a"] * 3


def test_one_reads_at_a_time():
    turns, said = Turns(), []
    with ThreadPoolExecutor(2) as pool:
        with turns.writing():
            both = [pool.submit(read, turns, said, name) for name in "ab"]
            while not said:
                time.sleep(0.001)
            time.sleep(0.05)
            assert len(said) == 1
        for one in both:
            one.result()
    assert said in (["a"] * 3 + ["b"] * 3, ["b"] * 3 + ["a"] * 3)


def test_a_writer_that_failed_holds_nobody_up():
    turns, said = Turns(), []
    with pytest.raises(LookupError), turns.writing():
        raise LookupError
    read(turns, said, "a")
    assert len(said) == 3
