"""The table of faults has no empty row, and the browser's tests that it names are there."""

from pathlib import Path

import pytest

from faults.faults import FAULTS

HERE = Path(__file__).parent
ROOT = HERE.parents[1]


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: str(fault.number))
def test_each_fault_is_made_to_happen(fault):
    assert fault.sim or fault.browser or fault.server
    for name in fault.browser:
        place, _, test = name.partition("::")
        file = ROOT / place if "/" in place else HERE / "browser" / place
        assert f"\ndef {test}" in file.read_text(), name
