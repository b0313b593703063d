"""The phone's own checks: its form, its types, its service worker's types, its unit tests."""

import subprocess

import pytest

from peer import CLIENT, find_node

CHECKS = {
    "form and lint": [
        *("node_modules/@biomejs/biome/bin/biome", "ci"),
        *("--colors=off", "--error-on-warnings", ".."),
    ],
    "types": ["node_modules/typescript/bin/tsc", "-p", "."],
    "worker types": ["node_modules/typescript/bin/tsc", "-p", "tsconfig.worker.json"],
    "unit tests": ["node_modules/vitest/vitest.mjs", "run", "--no-color"],
}


SLOW = {"unit tests": pytest.mark.slow(24)}


@pytest.mark.parametrize("check", [pytest.param(name, marks=SLOW.get(name, ())) for name in CHECKS])
def test_the_phone_is_clean(check):
    run = subprocess.run(
        [find_node(), *CHECKS[check]], cwd=CLIENT, capture_output=True, text=True, check=False
    )
    assert run.returncode == 0, run.stdout + run.stderr
