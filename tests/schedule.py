"""
Which tests run when, and beside which others.

The fast ones first, then the slow modules with the longest before the others, so that no process
is left alone with a long one at the end. A run of everything is spread over three processes for
two processors, module by module: what a module's fixture makes is made once. A run of what
somebody names is not: a second process takes as long to start as most modules take.

A module is slow when it says so, with about how many seconds of one processor it takes:

    pytestmark = pytest.mark.slow(12)
"""

from __future__ import annotations

import os

import pytest

try:
    from xdist.scheduler import LoadScopeScheduling
except ImportError:  # one process does it all, and takes its time
    LoadScopeScheduling = object

#: Drives a browser, and has not said how long.
BROWSER_S = 10
#: They ask for a store of photos (`seaweed.py`): one process has it started, and runs them all.
WITH_SEAWEED = frozenset(
    f"tests/{name}.py"
    for name in (
        "faults/server/test_points",
        "server/store/test_apart",
        "server/store/test_move",
        "server/store/test_photo_port",
        "server/web/test_two_servers",
    )
)
#: What asks for the store of photos takes a fifth of all: more processes would wait for it.
MOST = 5


def pytest_addoption(parser: pytest.Parser) -> None:
    told = "kill the server at every point of an act, not at some of those that are alike"
    parser.addoption("--every-point", action="store_true", help=told)


@pytest.hookimpl(tryfirst=True)
def pytest_cmdline_main(config: pytest.Config) -> None:
    everything = config.args_source is pytest.Config.ArgsSource.TESTPATHS
    is_told = config.getoption("numprocesses", 0) is not None
    if everything and not is_told and not hasattr(config, "workerinput"):
        config.option.numprocesses = "auto"
        config.option.maxprocesses = config.option.maxprocesses or MOST
        # A process put in the place of one that died is given modules with nothing left to run,
        # and waits for ever (pytest-xdist 3.8): the run ends there, and names the test.
        config.option.maxworkerrestart = "0"


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_auto_num_workers() -> int:
    """Return how many processes run it all: a third of the time one waits, mostly for a browser."""
    has_share = hasattr(os, "sched_getaffinity")
    processors = len(os.sched_getaffinity(0)) if has_share else os.cpu_count() or 1
    return max(1, processors * 3 // 2)


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: object) -> ByModule:
    config.option.loadscopereorder = False  # the order is that of pytest_collection_modifyitems
    return ByModule(config, log)


class ByModule(LoadScopeScheduling):
    """The tests of a module stay together, and go to whoever is free."""

    def _split_scope(self, nodeid: str) -> str:
        module = nodeid.partition("::")[0]
        return "seaweed" if module in WITH_SEAWEED else module


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    longest: dict[str, float] = {}
    for item in items:
        seconds, module = seconds_of(item), module_of(item)
        if not seconds:
            item.add_marker("fast")
        longest[module] = max(seconds, longest.get(module, 0))
    items.sort(key=lambda item: (longest[module_of(item)] > 0, -longest[module_of(item)]))


def seconds_of(item: pytest.Item) -> float:
    """Return about how long the item's module takes, or 0 for a fast one."""
    if slow := item.get_closest_marker("slow"):
        return float(slow.args[0])
    return BROWSER_S if item.get_closest_marker("browser") else 0


def module_of(item: pytest.Item) -> str:
    return item.nodeid.partition("::")[0]
