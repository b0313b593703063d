"""The rooms' imports point one way, on both sides (DEVELOPERS.md, section 1)."""

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SERVER = ROOT / "server" / "twoturns"
CLIENT = ROOT / "client" / "src"

SERVER_MAY_IMPORT = {
    "trade": set(),
    "instruments": {"trade"},
    "ledger": set(),
    "procedure": {"ledger", "trade"},
    # A bag is folded to be verified, and its readings are computed anew.
    "bag": {"ledger", "procedure", "instruments", "trade"},
    "store": {"bag", "ledger", "procedure", "instruments", "trade"},
    "web": {"store", "bag", "ledger", "procedure", "trade"},
}
# Stages of `procedure`: each knows those it builds on.
STAGE_MAY_IMPORT = {
    "language": set(),
    "rules": {"language"},
    "drive": set(),
    "compile": {"language", "rules", "drive"},
    "machine": set(),
    "prove": {"language", "rules", "compile", "machine"},
}
CLIENT_MAY_IMPORT = {
    "trade": set(),
    "ledger": set(),
    "procedure": {"trade", "ledger"},
    "store": {"ledger", "procedure", "trade"},
    # Of the store its types alone: `test_what_is_so_in_a_job_draws_nothing_and_opens_no_store`.
    "work": {"store", "ledger", "procedure", "trade"},
    "sync": {"store", "ledger", "procedure", "trade"},
    "instruments": {"trade"},
    "parts": {"procedure", "ledger", "trade"},
    "screens": {
        "store",
        "sync",
        "work",
        "procedure",
        "instruments",
        "parts",
        "ledger",
        "trade",
    },
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


def server_imports(path: Path) -> set[str]:
    """Return the dotted names a module imports, relative ones made absolute."""
    package = ("twoturns", *path.relative_to(SERVER).parent.parts)
    names = set()
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            base = package[: len(package) - node.level + 1] if node.level else ()
            stem = ".".join((*base, *((node.module,) if node.module else ())))
            names |= {f"{stem}.{alias.name}" for alias in node.names}
    return names


def server_room_of(dotted: str) -> str | None:
    parts = dotted.split(".")
    return (
        parts[1] if parts[0] == "twoturns" and parts[1:] and parts[1] in SERVER_MAY_IMPORT else None
    )


@pytest.mark.parametrize("room", SERVER_MAY_IMPORT)
def test_server_rooms_import_one_way(room):
    for path in (SERVER / room).rglob("*.py"):
        may = SERVER_MAY_IMPORT[room] | {room}
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
    importing = re.compile(r"""(?:from|import)\s+['"](\.[^'"]+)['"]""")
    for path in [*(CLIENT / room).rglob("*.ts"), *(CLIENT / room).rglob("*.tsx")]:
        for target in importing.findall(path.read_text()):
            resolved = (path.parent / target).resolve()
            other = resolved.relative_to(CLIENT).parts[0]
            if other not in CLIENT_MAY_IMPORT:
                continue
            assert other in CLIENT_MAY_IMPORT[room] | {room}, (
                f"{path.relative_to(ROOT)} imports {target}"
            )


def test_what_is_so_in_a_job_draws_nothing_and_opens_no_store():
    reads_store = re.compile(r"""^import (?!type )[^'"]*['"][^'"]*/store['"/]""", re.MULTILINE)
    assert list((CLIENT / "work").glob("*.ts"))
    assert not list((CLIENT / "work").rglob("*.tsx"))
    for path in (CLIENT / "work").rglob("*.ts"):
        assert not reads_store.search(path.read_text()), f"{path.name} imports more than types"


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
