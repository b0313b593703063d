"""How many bytes a phone evaluates before its first screen, and moves on its first visit."""

import graphlib

import pytest

import hatch_build
from alone import alone
from app_size import (
    ASSETS,
    asked_for,
    evaluated,
    first_screen,
    first_visit,
    follows,
    gzipped,
    imported,
    whole_bay,
)
from browser.serving import ROOT

FIRST_SCREEN_BYTES = 75_000
WHOLE_BAY_BYTES = 110_000
FIRST_VISIT_BYTES = 350_000


@pytest.fixture(scope="module", autouse=True)
def built():
    is_installed = (ROOT / "client" / "node_modules" / "vite").is_dir()
    with alone(ROOT / "client"):
        hatch_build.bring_up_to_date(ROOT, install=not is_installed)


def test_what_is_evaluated_before_the_first_screen_is_small():
    assert 0 < gzipped(first_screen()) <= FIRST_SCREEN_BYTES


def test_what_the_whole_bay_evaluates_is_small():
    assert gzipped(first_screen()) < gzipped(whole_bay()) <= WHOLE_BAY_BYTES


def test_a_first_visit_moves_little_besides_what_follows_it():
    assert 0 < first_visit() <= FIRST_VISIT_BYTES
    following = {one.name.partition("-")[0] for one in ASSETS.iterdir() if follows(one.name)}
    pages = {"audit", "customer", "desk", "office", "paper", "photos"}
    assert following == pages | {"scan.worker", "zxing_reader"}
    assert not {name for name in whole_bay() if follows(name)}


#: Evaluated when a screen of them is asked for.
ON_DEMAND = {"around", "bringing", "camera", "enrol", "instruments", "lookup", "sealed"}
ON_DEMAND |= {"audit", "customer", "desk", "office", "paper", "photos"}


def test_the_straight_work_evaluates_nothing_that_may_never_be_asked_for():
    bay = {name.partition("-")[0] for name in whole_bay()}
    assert {"first", "bay", "parts", "sync"} <= bay
    assert not bay & ON_DEMAND
    chunks = {one.name.partition("-")[0] for one in ASSETS.glob("*.js") if "work" not in one.name}
    assert chunks >= ON_DEMAND


def test_every_chunk_that_is_asked_for_is_there_and_none_needs_itself():
    chunks = {one.name for one in ASSETS.glob("*.js") if "work" not in one.name}
    wanted = {name: imported(name) for name in chunks}
    assert set().union(*wanted.values(), *(asked_for(name) for name in chunks)) <= chunks
    list(graphlib.TopologicalSorter(wanted).static_order())  # CycleError names the circle


def test_every_chunk_but_the_bench_is_kept_on_the_phone():
    worker = (ASSETS.parent / "sw.js").read_text()
    for name in evaluated(*(one.name for one in ASSETS.glob("*.js"))):
        assert (f"/assets/{name}" in worker) != name.startswith("bench-"), name


def test_nothing_but_the_desk_asks_for_the_bench_and_its_editor():
    (bench,) = {one.name for one in ASSETS.glob("bench-*.js")}
    asking = {one.name for one in ASSETS.glob("*.js") if bench in asked_for(one.name)}
    assert {name.partition("-")[0] for name in asking} == {"desk"}
    assert "cm-content" in (ASSETS / bench).read_text()
    for other in ASSETS.glob("*.js"):
        assert bench not in imported(other.name)
