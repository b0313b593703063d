"""The linters and type checkers, so that one command runs everything."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]

CHECKS = {
    "ruff check": ["-m", "ruff", "check", "server", "tests"],
    "ruff format": ["-m", "ruff", "format", "--check", "server", "tests"],
    "mypy": ["-m", "mypy"],
}


@pytest.mark.parametrize("check", CHECKS)
def test_python_is_clean(check):
    run = subprocess.run(
        [sys.executable, *CHECKS[check]], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert run.returncode == 0, run.stdout + run.stderr
