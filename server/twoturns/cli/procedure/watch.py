"""Doing something again each time a file of a folder is saved."""

import time
from collections.abc import Callable
from pathlib import Path

LOOK_SECONDS = 0.4

#: Of each file its name, when it was changed, and its size.
Stamp = tuple[tuple[str, int, int], ...]


def stamp_of(folder: Path) -> Stamp:
    """Return what changes when a file of a folder does."""
    found = []
    for file in sorted(folder.rglob("*")):
        try:
            about = file.stat()
        except FileNotFoundError:  # an editor moves a new file over the old one
            continue
        if file.is_file():
            found.append((str(file), about.st_mtime_ns, about.st_size))
    return tuple(found)


def at_each_save(folder: Path, act: Callable[[], None]) -> None:
    """Do it now, and again whenever a file of the folder was saved. Ends with Ctrl-C."""
    seen: Stamp | None = None
    while True:
        stands = stamp_of(folder)
        if stands != seen:
            seen = stands
            act()
        time.sleep(LOOK_SECONDS)
