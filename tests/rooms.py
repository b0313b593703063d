"""
Which room imports which, read off the code. `python tests/rooms.py` writes it into DEVELOPERS.md.

What the rooms *may* import is in `tests/server/test_rooms.py`.
"""

import ast
import re
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
SERVER = ROOT / "server" / "twoturns"
CLIENT = ROOT / "client" / "src"
MAP = ROOT / "DEVELOPERS.md"
BEGIN, END = "<!-- by tests/rooms.py -->\n```\n", "```\n<!-- end -->"


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


def client_imports(path: Path) -> set[Path]:
    """Return the modules that a module of the phone imports, for values or for types alone."""
    found = set()
    for target in re.findall(r"""(?:from|import)\s*\(?\s*['"](\.[^'"?]+)""", path.read_text()):
        bare = (path.parent / target).resolve()
        ends = ("", ".ts", ".tsx", "/index.ts", "/index.tsx")
        found |= {name for end in ends if (name := Path(f"{bare}{end}")).is_file()}
    return found


def client_modules(room: str = "") -> list[Path]:
    return [*(CLIENT / room).rglob("*.ts"), *(CLIENT / room).rglob("*.tsx")]


def folder_of(path: Path, room: Path) -> str | None:
    """Return the folder of `room` that holds a module; None where it is outside or at its top."""
    parts = path.relative_to(room).parts if path.is_relative_to(room) else ()
    return parts[0] if len(parts) > 1 else None


def server_arrows() -> dict[str, set[str]]:
    """Return, for each room of the server, those it imports."""
    rooms = {path.parent.name for path in SERVER.glob("*/*.py")}
    return {
        room: {
            name.split(".")[1]
            for path in (SERVER / room).rglob("*.py")
            for name in server_imports(path)
            if name.startswith("twoturns.")
        }
        & rooms - {room}
        for room in rooms
    }


def client_arrows() -> dict[str, set[str]]:
    """Return, for each room of the phone, those it imports."""
    rooms = {path.name for path in CLIENT.iterdir() if path.is_dir()}
    return {
        room: {
            folder
            for path in client_modules(room)
            for target in client_imports(path)
            if (folder := folder_of(target, CLIENT))
        }
        - {room}
        for room in rooms
    }


def arrows() -> str:
    """Return what imports what, as the map shows it: the ground floor first."""
    return "\n".join(
        [
            "server/twoturns/",
            *_lines(server_arrows()),
            "client/src/",
            *_lines(client_arrows()),
            "",
        ]
    )


def _lines(imported: dict[str, set[str]]) -> list[str]:
    words = {"words"}
    rooms = sorted(imported.keys() - words, key=lambda room: (len(_below(room, imported)), room))
    return [
        f"  {room:<12} -> {', '.join(sorted(imported[room] - words)) or 'nothing'}"
        for room in rooms
    ]


def _below(room: str, imported: dict[str, set[str]]) -> set[str]:
    """Return all that a room rests on."""
    found: set[str] = set()
    waiting = [room]
    while waiting:
        for other in imported.get(waiting.pop(), set()) - found:
            found.add(other)
            waiting.append(other)
    return found


if __name__ == "__main__":
    before, _, rest = MAP.read_text().partition(BEGIN)
    after = rest.partition(END)[2]
    MAP.write_text(f"{before}{BEGIN}{arrows()}{END}{after}")
