"""Programs from outside that some tests need: a database, a store of objects."""

import os
from importlib.util import find_spec

import pytest


def require(program: object, otherwise: str, *, library: str) -> None:
    """
    Skip the test where a program or its library is not there; in CI both are (`.ci/run`).

    Args:
        program: What is false where the program is not there.
        otherwise: What to say then.
        library: The module that asks it.
    """
    missing = None if program else otherwise
    if find_spec(library) is None:
        missing = missing or f"no {library} here: pip install -e '.[test]'"
    if missing and os.environ.get("CI"):
        pytest.fail(missing)
    if missing:
        pytest.skip(missing)
