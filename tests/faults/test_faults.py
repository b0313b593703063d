"""The table of faults has no empty row, and what it names is there."""

from pathlib import Path

import pytest

from faults.faults import FAULTS

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
SIMULATED = "\n".join(path.read_text() for path in (HERE / "sim").glob("*.ts"))


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: str(fault.number))
def test_each_fault_is_made_to_happen(fault):
    assert fault.sim or fault.browser or fault.server
    for name in fault.sim:
        # A kind and what of it: "line: portal", "lost: base and journal".
        assert all(part in SIMULATED for part in name.split(": ")[-1].split(" and ")), name
    for name in fault.browser:
        place, _, test = name.partition("::")
        file = ROOT / place if "/" in place else HERE / "browser" / place
        assert f"\ndef {test}" in file.read_text(), name
