"""The rooms' imports point one way, on both sides (DEVELOPERS.md, section 3)."""

import re
from graphlib import CycleError, TopologicalSorter

import pytest

import rooms
from rooms import (
    CLIENT,
    ROOT,
    SERVER,
    client_imports,
    client_modules,
    folder_of,
    server_imports,
)

# What a person reads: it imports nothing, and every room may import it.
WORDS = "words"
SERVER_MAY_IMPORT = {
    WORDS: set(),
    "trade": set(),
    "ledger": set(),
    "instruments": {"ledger", "trade"},
    "procedure": {"ledger", "trade"},
    # A bag is folded to be verified, and its readings are computed anew.
    "bag": {"ledger", "procedure", "instruments", "trade"},
    "store": {"bag", "ledger", "procedure", "instruments", "trade"},
    "web": {"store", "bag", "ledger", "procedure", "trade"},
    # What a phone would write, by the machine and the instruments that phones have.
    "demo": {"store", "ledger", "procedure", "instruments", "trade"},
    "cli": {"web", "demo", "store", "bag", "ledger", "procedure", "trade"},
}
# Stages of `procedure`: each knows those it builds on.
STAGE_MAY_IMPORT = {
    "language": set(),
    "blocks": {"language"},
    "rules": {"language"},
    "drive": set(),
    "compile": {"language", "blocks", "rules", "drive"},
    "machine": set(),
    "compare": set(),
    "prove": {"language", "blocks", "rules", "compile", "machine"},
}
CLIENT_MAY_IMPORT = {
    WORDS: set(),
    "trade": set(),
    "ledger": set(),
    "procedure": {"trade", "ledger"},
    "store": {"ledger", "procedure", "trade"},
    # Of store and instruments their types alone: `test_what_is_so_in_a_job_draws_nothing_...`.
    "work": {"store", "instruments", "ledger", "procedure", "trade"},
    "sync": {"store", "ledger", "procedure", "trade"},
    # Of sync the roster alone: whose keys are whose it knows for all.
    "bag": {"sync", "ledger", "procedure"},
    "instruments": {"trade"},
    "parts": {"work", "procedure", "ledger", "trade"},
    "screens": {
        "store",
        "sync",
        "work",
        "procedure",
        "instruments",
        "parts",
        "bag",
        "ledger",
        "trade",
    },
}
# Inside `screens`: what stands at its top (rooms.ts, route.ts, names.ts, ...) is for all of them.
SCREENS_MAY_IMPORT: dict[str, set[str]] = {
    # What is handed over is read at the engine before it is signed, and printed at the desk.
    "bay": {"paper", "record"},
    "paper": {"record"},
    "office": set(),
    "record": {"office"},
    "photos": {"office", "record"},
    # The bench draws what it writes by the bay's own screens; the desk opens it.
    "bench": {"bay", "office"},
    "desk": {"bench", "office", "photos", "record"},
    "audit": {"office", "photos", "record"},
    "check": set(),
}
# What makes a room impure: the clock, chance, the disk and the network come in as arguments.
IMPURE_MODULES = {
    "random",
    "secrets",
    "socket",
    "sqlite3",
    "subprocess",
    "time",
    "urllib",
    "requests",
}
PURE_ROOMS = ("trade", "ledger", "instruments", "procedure", "bag")


def server_room_of(dotted: str) -> str | None:
    parts = dotted.split(".")
    return (
        parts[1] if parts[0] == "twoturns" and parts[1:] and parts[1] in SERVER_MAY_IMPORT else None
    )


def test_each_folder_of_the_server_is_a_room_with_its_walls():
    assert {path.parent.name for path in SERVER.glob("*/*.py")} == set(SERVER_MAY_IMPORT)
    assert [path.name for path in SERVER.glob("*.py")] == ["__init__.py"]


@pytest.mark.parametrize("room", SERVER_MAY_IMPORT)
def test_server_rooms_import_one_way(room):
    for path in (SERVER / room).rglob("*.py"):
        may = SERVER_MAY_IMPORT[room] | {room, WORDS}
        found = {server_room_of(name) for name in server_imports(path)} - {None}
        assert found <= may, f"{path.relative_to(ROOT)} imports {sorted(found - may)}"


def test_each_folder_of_a_procedure_is_a_stage_with_its_walls():
    folders = {path.parent.name for path in (SERVER / "procedure").glob("*/*.py")}
    assert folders == set(STAGE_MAY_IMPORT)


@pytest.mark.parametrize("stage", STAGE_MAY_IMPORT)
def test_the_stages_of_a_procedure_import_one_way(stage):
    for path in (SERVER / "procedure" / stage).glob("*.py"):
        parts = [name.split(".") for name in server_imports(path)]
        found = {part[2] for part in parts if part[:2] == ["twoturns", "procedure"]}
        found &= set(STAGE_MAY_IMPORT)
        may = STAGE_MAY_IMPORT[stage] | {stage}
        assert found <= may, f"{path.relative_to(ROOT)} imports {sorted(found - may)}"


@pytest.mark.parametrize("room", PURE_ROOMS)
def test_pure_rooms_import_no_clock_chance_disk_or_network(room):
    for path in (SERVER / room).rglob("*.py"):
        found = {name.split(".")[0] for name in server_imports(path)} & IMPURE_MODULES
        assert not found, f"{path.relative_to(ROOT)} imports {sorted(found)}"


@pytest.mark.parametrize("room", CLIENT_MAY_IMPORT)
def test_client_rooms_import_one_way(room):
    for path in client_modules(room):
        others = {folder_of(target, CLIENT) for target in client_imports(path)}
        found = others & CLIENT_MAY_IMPORT.keys() - CLIENT_MAY_IMPORT[room] - {room, WORDS}
        assert not found, f"{path.relative_to(ROOT)} imports {sorted(found)}"


@pytest.mark.parametrize("folder", SCREENS_MAY_IMPORT)
def test_bay_desk_and_audit_know_nothing_of_each_other(folder):
    for path in client_modules(f"screens/{folder}"):
        others = {folder_of(target, CLIENT / "screens") for target in client_imports(path)}
        found = others - SCREENS_MAY_IMPORT[folder] - {folder, None}
        assert not found, f"{path.relative_to(ROOT)} imports {sorted(found)}"
    assert client_modules(f"screens/{folder}")


def test_every_folder_of_screens_has_its_walls():
    folders = {path.name for path in (CLIENT / "screens").iterdir() if path.is_dir()}
    assert folders == SCREENS_MAY_IMPORT.keys()


def test_no_modules_of_the_phone_import_each_other_in_a_circle():
    modules = {path: client_imports(path) for path in client_modules()}
    assert sum(map(len, modules.values())) > len(modules)
    try:
        tuple(TopologicalSorter(modules).static_order())
    except CycleError as error:
        names = [str(path.relative_to(CLIENT)) for path in error.args[1]]
        pytest.fail(f"imported in a circle: {' <- '.join(names)}")


def test_what_is_so_in_a_job_draws_nothing_and_opens_no_store():
    values = re.compile(
        r"""^import (?!type )[^'"]*['"][^'"]*/(?:store|instruments)['"/]""", re.MULTILINE
    )
    outside = re.compile(
        r"\bnew Date\(\)|\bDate\.now\b|\bMath\.random\b|\b(?:document|window|navigator|location)\."
    )
    assert not list((CLIENT / "work").rglob("*.tsx"))
    for path in (CLIENT / "work").rglob("*.ts"):
        text = path.read_text()
        assert not values.search(text), f"{path.name} imports more than types"
        assert "from 'preact" not in text, f"{path.name} draws"
        assert not outside.search(text), f"{path.name} looks at clock, chance or page itself"


def test_only_the_store_touches_browser_storage_and_only_sync_the_network():
    storage = re.compile(r"\bindexedDB\b|from 'idb'|getDirectory\(|localStorage|sessionStorage")
    network = re.compile(r"\bfetch\(|XMLHttpRequest|WebSocket|sendBeacon")
    for path in [*CLIENT.rglob("*.ts"), *CLIENT.rglob("*.tsx")]:
        room = path.relative_to(CLIENT).parts[0]
        text = path.read_text()
        if room != "store":
            assert not storage.search(text), f"{path.relative_to(ROOT)} touches storage"
        if room not in ("sync", "worker.ts"):
            assert not network.search(text), f"{path.relative_to(ROOT)} touches the network"


def test_the_map_shows_what_imports_what():
    _, _, shown = rooms.MAP.read_text().partition(rooms.BEGIN)
    assert shown.partition(rooms.END)[0] == rooms.arrows(), "run `python tests/rooms.py`"
