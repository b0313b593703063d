"""
The draw of a sample. Outside: `sha256sum` and `sort` of GNU coreutils, by the rule as it is printed
(SHA-256 is FIPS 180-4; the order of freeze and word is RFC 3797's, sections 3 and 4).
"""

import hashlib
import shutil
import subprocess
from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from twoturns.bag.sample import draw
from workshop import uuid7

JOBS = [uuid7() for _ in range(12)]
ROOT = bytes(range(32))


def by_shell(jobs, root, word, count):
    """Draw by coreutils alone: each line is hashed as bytes, the hex is sorted."""

    def sha256sum(data):
        said = subprocess.run(["sha256sum"], input=data, capture_output=True, check=True)
        return said.stdout.split()[0].decode()

    seed = bytes.fromhex(sha256sum(root + word.encode()))
    lines = "".join(f"{sha256sum(seed + job.encode())} {job}\n" for job in jobs)
    in_order = subprocess.run(
        ["sort"], input=lines, capture_output=True, check=True, text=True, env={"LC_ALL": "C"}
    )
    return [line.split()[1] for line in in_order.stdout.splitlines()][:count]


@pytest.mark.skipif(shutil.which("sha256sum") is None, reason="this system has no coreutils")
@pytest.mark.parametrize("word", ["heron", "Möwe 7", "a word that nobody knew"])
def test_the_draw_is_what_coreutils_draw(word):
    assert draw(JOBS, ROOT, word, 5) == by_shell(JOBS, ROOT, word, 5)


@given(st.permutations(JOBS), st.text(min_size=1, max_size=20), st.integers(1, 20))
def test_it_is_of_no_matter_how_the_list_lies(jobs, word, count):
    found = draw(jobs, ROOT, word, count)
    assert found == draw(JOBS, ROOT, word, count)
    assert len(set(found)) == min(count, len(JOBS))
    assert found == draw(JOBS, ROOT, word, 20)[:count]  # one more takes nothing away


def test_every_job_is_drawn_as_often_as_any_other():
    """A chi-square of 11 degrees is below 31.26 in 999 of 1,000 (NIST/SEMATECH, 1.3.6.7.4)."""
    times = Counter(job for n in range(3_000) for job in draw(JOBS, ROOT, str(n), 3))
    expected = 3_000 * 3 / len(JOBS)
    assert sum((times[job] - expected) ** 2 / expected for job in JOBS) < 31.26


def test_another_root_or_another_word_draws_others():
    drawn = {tuple(draw(JOBS, hashlib.sha256(bytes([n])).digest(), "heron", 4)) for n in range(50)}
    drawn |= {tuple(draw(JOBS, ROOT, f"heron {n}", 4)) for n in range(50)}
    assert len(drawn) > 95
