"""The table of faults names tests that there are, and the server's own rows are not empty."""

import re
from pathlib import Path

import pytest

from faults.faults import FAULTS

HERE = Path(__file__).parent
ROOT = HERE.parents[2]
OURS = {10, 12, 17, 18, 20, 22, 23, 25, 26, 27, 29}


@pytest.mark.parametrize("named", sorted({one for fault in FAULTS for one in fault.server}))
def test_a_named_test_is_there(named):
    place, _, name = named.partition("::")
    file = ROOT / place if "/" in place else HERE / place
    assert re.search(rf"^def {name}\(", file.read_text(), re.MULTILINE)


def test_the_faults_of_the_server_are_made_to_happen():
    assert {fault.number for fault in FAULTS if fault.server} >= OURS
