"""The order and the spreading of a whole run (tests/schedule.py), by a small suite of its own."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

from schedule import WITH_SEAWEED

TESTS = Path(__file__).parents[1]
SETTINGS = f"""
[pytest]
testpaths = suite
pythonpath = {TESTS}
addopts = -p no:cacheprovider --import-mode=importlib
markers =
    browser
    slow(seconds)
    fast
"""
DIES = "import os, pytest\npytestmark = pytest.mark.slow(3)\ndef test_dies(): os._exit(1)\n"


def test_what_asks_for_an_object_store_is_run_by_one_process():
    asks = {
        path.relative_to(TESTS.parent).as_posix()
        for room in ("server", "faults")
        for path in (TESTS / room).rglob("test_*.py")
        if re.search(r"\bseaweed\b", path.read_text()) and path != Path(__file__)
    }
    assert asks == WITH_SEAWEED


def test_a_process_that_dies_ends_the_run_and_is_named(tmp_path):
    suite = tmp_path / "suite"
    suite.mkdir()
    (tmp_path / "pytest.ini").write_text(SETTINGS)
    (suite / "conftest.py").write_text('pytest_plugins = ["schedule"]\n')
    (suite / "test_last.py").write_text(DIES)
    for name in "abc":
        (suite / f"test_{name}.py").write_text("def test_one(): pass\n")
    command = [sys.executable, "-m", "pytest", "--maxprocesses", "2"]
    run = subprocess.run(
        command, cwd=tmp_path, capture_output=True, text=True, timeout=400, check=False
    )
    assert run.returncode == pytest.ExitCode.TESTS_FAILED, run.stdout
    assert "crashed while running 'suite/test_last.py::test_dies'" in run.stdout
