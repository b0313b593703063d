"""
In which engine the workshops of tests have their ledger: SQLite; or, of tests that say so, in both.

    pytestmark = pytest.mark.both_ledgers           each test with `workshop` runs once with either
    pytestmark = pytest.mark.embedded("why")        it is of SQLite's file, or of a folder alone
    python -m pytest --ledger postgresql tests/server/store tests/server/web       all on PostgreSQL
"""

from __future__ import annotations

import pytest

SQLITE, POSTGRESQL = "sqlite", "postgresql"
#: Not in the fast set, as its module is there already.
ON_POSTGRES = pytest.param(POSTGRESQL, marks=pytest.mark.slow(5))


def new_ledger() -> str | None:
    """Say where the next workshop's ledger is to lie; None: in its folder."""
    return None


def pytest_addoption(parser: pytest.Parser) -> None:
    told = "in which engine all workshops of the tests have their ledger"
    parser.addoption("--ledger", choices=[SQLITE, POSTGRESQL], default=SQLITE, help=told)


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    is_of_both = metafunc.definition.get_closest_marker("both_ledgers") is not None
    if is_of_both and "workshop" in metafunc.fixturenames and not _all_on_postgres(metafunc.config):
        metafunc.parametrize("ledger", [SQLITE, ON_POSTGRES], indirect=True)


@pytest.fixture(autouse=True)
def ledger(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Have the workshops that a test makes lie in one engine."""
    is_all = _all_on_postgres(request.config)
    if getattr(request, "param", SQLITE) == SQLITE and not is_all:
        return
    embedded = request.node.get_closest_marker("embedded")
    if embedded is not None:
        # Only where all are asked for in PostgreSQL; every ordinary run has it on SQLite.
        pytest.skip(embedded.args[0])
    server = request.getfixturevalue("postgres")
    monkeypatch.setattr("ledgers.new_ledger", server.new_ledger)


def _all_on_postgres(config: pytest.Config) -> bool:
    return bool(config.getoption("--ledger") == POSTGRESQL)
