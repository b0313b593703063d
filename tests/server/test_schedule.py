"""The order and the spreading of a whole run (tests/schedule.py), by a small suite of its own."""

import subprocess
import sys
from pathlib import Path

import pytest

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
        command, cwd=tmp_path, capture_output=True, text=True, timeout=120, check=False
    )
    assert run.returncode == pytest.ExitCode.TESTS_FAILED, run.stdout
    assert "crashed while running 'suite/test_last.py::test_dies'" in run.stdout
