"""Every example in a docstring does what it says."""

import doctest
from importlib import import_module
from pathlib import Path

import pytest

SERVER = Path(__file__).resolve().parents[2] / "server"
WITH_EXAMPLES = [
    path for path in sorted(SERVER.rglob("twoturns/**/*.py")) if ">>> " in path.read_text()
]


def module_name(path: Path) -> str:
    return ".".join(path.relative_to(SERVER).with_suffix("").parts)


@pytest.mark.parametrize("name", [module_name(path) for path in WITH_EXAMPLES])
def test_the_examples_of_a_module_hold(name):
    found = doctest.testmod(import_module(name))
    assert found.attempted > 0
    assert found.failed == 0
