"""A table for a spreadsheet: read back by Python's own csv, and no cell that runs."""

import csv
import io
import random

import pytest

from twoturns.trade.csv_text import MARK, csv_text

# OWASP, "CSV Injection".
EVIL = [
    "=1+1",
    "+1+1",
    "-1+1",
    "@SUM(1)",
    "\tx",
    "\rx",
    "\nx",
    "＝1",
    "＋1",
    "－1",
    "＠x",
    "=",
    "-",
]


def read_back(text: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO(text.removeprefix(MARK), newline=""), strict=True))


@pytest.mark.parametrize("cell", EVIL)
def test_nothing_is_a_formula(cell):
    assert read_back(csv_text([[cell, cell]])) == [[f"'{cell}"] * 2]


def test_what_is_no_formula_comes_back_as_it_was():
    """RFC 4180 as another reader takes it: commas, quotes and line ends in a field."""
    rng = random.Random(4180)
    signs = 'ab1,"\r\n ;é-='
    for _ in range(300):
        size = rng.randint(1, 4)
        rows = [["x" + "".join(rng.choices(signs, k=5)) for _ in range(size)] for _ in range(3)]
        assert read_back(csv_text(rows)) == rows


def test_a_plain_number_stays_a_number_and_a_telephone_a_text():
    assert read_back(csv_text([["-9", "-0.5", "12", "+49 30 1"]])) == [
        ["-9", "-0.5", "12", "'+49 30 1"]
    ]


def test_the_phone_writes_the_same(peer):
    rows = [[cell, "a,b", 'q"q', "-9"] for cell in EVIL]
    assert peer.call("csv_text", rows) == csv_text(rows)
