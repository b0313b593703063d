"""What must be looked at is said by the report of a bag as the phone and the desk say it."""

import re
from pathlib import Path

import pytest

from twoturns.bag.sentences import flagged
from twoturns.words.en.work import flags

CLIENT = Path(__file__).parents[3] / "client" / "src"
_SAID = re.compile(r"'?([a-z-]+)'?: \[flags\.(\w+), flags\.(\w+)\],")


def spelled(name):
    """`existsTwice` as the server's catalogue has it."""
    return re.sub(r"[A-Z]", lambda found: f"_{found[0]}", name).upper()


PHONES = {
    code: (getattr(flags, spelled(fact)), getattr(flags, spelled(means)))
    for code, fact, means in _SAID.findall((CLIENT / "work" / "sentences.ts").read_text())
}


@pytest.mark.parametrize("code", PHONES)
def test_the_report_says_of_each_code_what_the_phone_says(code):
    fact, means = PHONES[code]
    assert flagged(code, "4 Belt on") == (fact.replace("{subject}", "4 Belt on"), means)


def test_these_are_all_codes_that_the_phone_knows():
    listed = (CLIENT / "work" / "severity.ts").read_text().partition("= [")[2].partition("]")[0]
    of_the_desk = {"not-folded"}  # what the workshop could not read: no bag says it of itself
    assert set(re.findall(r"'([a-z-]+)'", listed)) == PHONES.keys() | of_the_desk
