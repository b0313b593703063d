"""A check of a draft runs by itself, can be stopped, and ends at what it may take."""

import subprocess
import sys
import time

import pytest

from twoturns.store import draft_checks, prove_draft
from twoturns.store.draft import Draft, packed
from twoturns.store.draft_checks import MOST_RUNNING, DraftChecks
from twoturns.store.errors import DraftRefused

# The bounds take effect in processes of their own, each of which imports the program first.
pytestmark = pytest.mark.slow(8)
PATIENCE_S = 60
SMALL = packed(Draft("id: small\n"))
#: A source whose check takes long: what is read is judged again and again while the test looks.
ENDLESS = """
import sys, time
from pathlib import Path
from twoturns.store import prove_draft
def endless(place, data, tell):
    states = 0
    while True:
        states += 1000
        tell(states)
        {deed}
prove_draft._checked = endless
{bounds}
prove_draft.main(Path(sys.argv[1]))
"""


@pytest.fixture
def checks(tmp_path):
    return DraftChecks(tmp_path)


@pytest.fixture
def endless(monkeypatch):
    """Have checks do one deed again and again, instead of proving."""

    def have(deed: str = "time.sleep(0.01)", bounds: str = "") -> None:
        popen = subprocess.Popen
        code = ENDLESS.format(deed=deed, bounds=bounds)

        def start(command, **kwargs):
            return popen([sys.executable, "-c", code, command[-1]], **kwargs)

        monkeypatch.setattr(subprocess, "Popen", start)

    return have


def until(checks: DraftChecks, name: str, wanted):
    end = time.monotonic() + PATIENCE_S
    while not wanted(told := checks.told(name)):
        assert time.monotonic() < end, told
        time.sleep(0.02)
    return told


def test_a_check_tells_how_far_it_is_gives_way_to_a_new_one_and_is_stopped(checks, endless):
    assert checks.told("a").state == "none"
    endless()
    checks.begin("a", SMALL)
    assert until(checks, "a", lambda told: told.states > 0).state == "running"
    checks.begin("a", SMALL)
    assert checks.told("a").state == "running"
    checks.stop("a")
    assert (checks.told("a").state, checks.told("a").report) == ("ended", None)


def test_a_check_on_another_machine_is_not_ended_by_a_number_that_is_somebody_elses_here(
    checks, endless, tmp_path, monkeypatch
):
    """Two machines that share the folder: a lock goes from one to the other, a signal does not."""
    monkeypatch.setattr(draft_checks, "END_SECONDS", 0)
    endless()
    checks.begin("a", SMALL)
    running = tmp_path / draft_checks.FOLDER / "a" / draft_checks.RUNNING
    number, here = running.read_text().split(" ")
    running.write_text(f"{number} another-machine")
    with pytest.raises(DraftRefused, match="does not end"):
        checks.stop("a")
    assert checks.told("a").state == "running"
    running.write_text(f"{number} {here}")
    monkeypatch.undo()
    checks.stop("a")
    assert checks.told("a").state == "ended"


def test_no_more_run_at_once_than_leave_a_core_to_the_phones(checks, endless):
    endless()
    for at in range(MOST_RUNNING):
        checks.begin(f"a{at}", SMALL)
    with pytest.raises(DraftRefused) as told:
        checks.begin("more", SMALL)
    assert (told.value.code, bool(told.value.hint)) == ("check-busy", True)
    for at in range(MOST_RUNNING):
        checks.forget(f"a{at}")
    assert checks.told("a0").state == "none"


def test_one_that_takes_too_much_memory_is_ended_and_says_so(checks, endless):
    endless(
        "sys.grown = getattr(sys, 'grown', []) + [bytearray(32 << 20)]",
        "prove_draft.MOST_BYTES = 400 << 20",
    )
    checks.begin("a", SMALL)
    told = until(checks, "a", lambda told: told.state != "running")
    assert [one["code"] for one in told.report["findings"]] == ["too-much-memory"]


@pytest.mark.parametrize(
    ("deed", "bounds"),
    [
        ("time.sleep(0.01)", "prove_draft.MOST_SECONDS = 0.5"),
        ("sum(range(100_000))", "prove_draft.MOST_CPU_SECONDS = 1"),
    ],
)
def test_one_that_takes_too_long_is_ended_and_says_so(checks, endless, deed, bounds):
    endless(deed, bounds)
    checks.begin("a", SMALL)
    told = until(checks, "a", lambda told: told.state != "running")
    assert [one["code"] for one in told.report["findings"]] == ["too-long"]
    assert told.report["version"]


def test_aliases_that_would_unfold_are_a_fault_at_once(checks):
    """350 bytes of them become 254 MB where they are resolved."""
    nine = "".join(f"a{at}: &a{at} [{','.join([f'*a{at - 1}'] * 9)}]\n" for at in range(1, 9))
    checks.begin("a", packed(Draft(f"a0: &a0 [x]\n{nine}")))
    told = until(checks, "a", lambda told: told.state == "done")
    assert {"alias"} == {one["code"] for one in told.report["findings"]}


def test_the_bounds_are_what_the_description_of_the_route_says():
    assert (prove_draft.MOST_CPU_SECONDS, prove_draft.MOST_SECONDS) == (120, 300)
    assert prove_draft.MOST_BYTES == 2**30


def test_a_draft_is_checked_as_its_workshop_takes_the_house_rules(checks):
    (checks.folder.parent / "house.yaml").write_text("instead: {no_such_rule: {}}\n")
    checks.begin("small", SMALL)
    told = until(checks, "small", lambda told: told.state == "done")
    (found,) = told.report["findings"]
    assert found["code"] == "house-words"
