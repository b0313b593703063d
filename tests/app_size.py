"""What the built app weighs, by what is evaluated when: read off the chunks themselves."""

from __future__ import annotations

import re

from browser.serving import ROOT

STATIC = ROOT / "server" / "twoturns" / "static"
ASSETS = STATIC / "assets"
#: What the bundler writes between chunks.
STATIC_IMPORT = re.compile(r'\b(?:from|import)"\./([^"]+\.js)"')
DYNAMIC_IMPORT = re.compile(r"import\(([`'\"])\./([^`'\"]+\.js)\1\)")
#: What follows all else in the background: as the service worker itself has it.
KEPT_BUILD = (ROOT / "client" / "src" / "kept-build.ts").read_text()
FOLLOWS = re.compile(re.findall(r"^const FOLLOWS = /(.+)/$", KEPT_BUILD, re.MULTILINE)[0])
#: Never comes unasked.
ASKED_FOR = re.compile(r"^/assets/bench-")
PACKED = (".br", ".gz")


def first_chunk() -> str:
    """Name the script that the page begins with."""
    (name,) = re.findall(r'<script[^>]* src="/assets/([^"]+)"', (STATIC / "index.html").read_text())
    return str(name)


def imported(name: str) -> set[str]:
    """Name the chunks that a chunk cannot begin without."""
    return set(STATIC_IMPORT.findall((ASSETS / name).read_text()))


def asked_for(name: str) -> set[str]:
    """Name the chunks that a chunk may ask for later."""
    return {found for _, found in DYNAMIC_IMPORT.findall((ASSETS / name).read_text())}


def evaluated(*begins: str) -> set[str]:
    """Name all chunks that are evaluated with these."""
    found: set[str] = set()
    waiting = list(begins)
    while waiting:
        name = waiting.pop()
        if name not in found:
            found.add(name)
            waiting += imported(name)
    return found


def first_screen() -> set[str]:
    """Name what is evaluated before the words of the first screen stand."""
    return evaluated(first_chunk())


def whole_bay() -> set[str]:
    """Name what is evaluated once the first screen stands: what the straight work takes."""
    first = first_chunk()
    wanted = [name for name in asked_for(first) if re.match(r"(bay|parts|sync)-", name)]
    return evaluated(first, *wanted)


def gzipped(names: set[str]) -> int:
    """Return the bytes of some chunks, each packed by itself, as it is served."""
    return sum((ASSETS / f"{name}.gz").stat().st_size for name in names)


def follows(name: str) -> bool:
    """Say whether a file of the assets follows all else in the background."""
    return FOLLOWS.search(f"/assets/{name}") is not None


def first_visit() -> int:
    """Return the bytes of a first visit but for what follows it, by brotli where packed."""
    files = [
        one
        for one in STATIC.rglob("*")
        if one.is_file() and not one.name.startswith(".") and one.suffix not in PACKED
    ]
    total = 0
    for one in files:
        packed = one.with_name(one.name + ".br")
        address = f"/{one.relative_to(STATIC).as_posix()}"
        if not (FOLLOWS.search(address) or ASKED_FOR.search(address)):
            total += (packed if packed.exists() else one).stat().st_size
    return total
