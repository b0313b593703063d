"""
The working files of a workshop: drafts, and `house.yaml`. No evidence, but somebody's evenings.

A backup has them as they were when its ledger was copied, in a folder beside it, with what else it
is given to lie there:

    ledger-000000001042.working/house.yaml
    ledger-000000001042.working/drafts/NAME.zip
    ledger-000000001042.working/contacts.json     when devices signed in last (`contacts`)
"""

import shutil
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Final

from twoturns.store import files
from twoturns.store.drafts import FOLDER, draft_files
from twoturns.store.errors import Damaged
from twoturns.store.words_of_workshop import FILE
from twoturns.words import t
from twoturns.words.en.store import working_files as words

_NOTHING: Final[Mapping[str, bytes]] = MappingProxyType({})


def copy_working_files(source: Path, target: Path) -> int:
    """
    Copy the working files of one folder into another, durably and read back; return how many.

    Raises:
        FileExistsError: If the other folder has one of them already.
        Damaged: If a copy is not read as it was written.
    """
    copied = 0
    for path in _paths(source):
        copied += _copy(path, target / path.relative_to(source))
    return copied


def replace_working_files(
    source: Path, target: Path, before: Path | None = None, beside: Mapping[str, bytes] = _NOTHING
) -> list[Path]:
    """
    Have a folder with the working files of another alone, in the place of what was there; none
    where there are none.

    Args:
        source: The folder with the working files.
        target: Where they are to be.
        before: An earlier copy. What cannot be read now is taken out of it.
        beside: What else is to lie there, by the names of the files.

    Returns:
        Those that cannot be read: of them `before`'s copy is kept, if it has one.
    """
    fresh, old = (target.with_suffix(f".{name}") for name in ("new", "old"))
    for left in (fresh, old):
        shutil.rmtree(left, ignore_errors=True)  # of a run that was cut off
    fresh.mkdir(mode=0o700)
    unread = [path for path in _paths(source) if not _can_be_read(path)]
    for name, data in beside.items():
        _write(data, fresh / name)
    copied = len(beside)
    for path in _paths(source):
        inside = path.relative_to(source)
        whence = before if path in unread else source
        copied += whence is not None and _copy(whence / inside, fresh / inside)
    if target.is_dir():
        target.replace(old)
    if copied:
        files.move_into_place(fresh, target)
    else:
        fresh.rmdir()
    shutil.rmtree(old, ignore_errors=True)
    return unread


def _paths(source: Path) -> tuple[Path, ...]:
    return (source / FILE, *draft_files(source / FOLDER))


def _can_be_read(path: Path) -> bool:
    try:
        path.read_bytes()
    except FileNotFoundError:
        return True  # gone: there is nothing to be read
    except OSError:
        return False
    return True


def _copy(path: Path, target: Path) -> bool:
    """Copy a file; False where it is gone by now, as a draft that was thrown away."""
    try:
        data = path.read_bytes()
    except FileNotFoundError:
        return False
    target.parent.mkdir(mode=0o700, exist_ok=True)
    _write(data, target)
    return True


def _write(data: bytes, target: Path) -> None:
    files.write_new(target, data, mode=0o600)
    files.sync_folder(target.parent)
    files.forget_cached(target)
    if target.read_bytes() != data:
        raise Damaged(
            t(words.READS_OTHERWISE, path=str(target)), hint=t(words.READS_OTHERWISE_HINT)
        )
