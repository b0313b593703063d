"""A folder that comes back to what it held: many runs go on from one moment."""

import os
import shutil
from pathlib import Path

SHA256_LENGTH = 64


class Mark:
    """
    What a folder holds at a moment, kept in another, so that it can come back to it.

    A workshop has 258 folders, and few of them hold anything: they stay as they are. Blobs never
    change under their names, so another name for the same bytes will do; the ledger is copied.
    """

    def __init__(self, folder: Path, kept: Path) -> None:
        self._folder, self._kept = str(folder), str(kept)
        self._folders = set[str]()
        self._files = dict[str, str]()

    @property
    def is_taken(self) -> bool:
        return bool(self._folders)

    def take(self) -> None:
        """Remember what the folder holds now."""
        shutil.rmtree(self._kept, ignore_errors=True)
        os.mkdir(self._kept)
        self._folders, files = _held(self._folder)
        self._files = {file: f"{number}" for number, file in enumerate(sorted(files))}
        for file, name in self._files.items():
            _give(f"{self._folder}/{file}", f"{self._kept}/{name}", file)

    def back(self) -> None:
        """Make the folder hold that, and nothing else."""
        folders, files = _held(self._folder)
        same = {file for file in files & self._files.keys() if _is_blob(file)}
        for file in files - same:
            os.unlink(f"{self._folder}/{file}")
        for surplus in sorted(folders - self._folders, reverse=True):
            os.rmdir(f"{self._folder}/{surplus}")
        for missing in sorted(self._folders - folders):
            os.mkdir(f"{self._folder}/{missing}")
        for file in self._files.keys() - same:
            _give(f"{self._kept}/{self._files[file]}", f"{self._folder}/{file}", file)


def _held(folder: str) -> tuple[set[str], set[str]]:
    """Return what lies in a folder, by paths from it: folders, itself too, and files."""
    folders, files = {""}, set[str]()
    todo = [""]
    while todo:
        path = todo.pop()
        with os.scandir(f"{folder}/{path}") as found:
            for one in found:
                inner = path + one.name
                if one.is_dir():
                    folders.add(inner)
                    todo.append(f"{inner}/")
                else:
                    files.add(inner)
    return folders, files


def _is_blob(file: str) -> bool:
    return len(file.rpartition("/")[2]) == SHA256_LENGTH


def _give(source: str, target: str, file: str) -> None:
    """Let a blob have another name, and copy what may be written to."""
    if _is_blob(file):
        os.link(source, target)
    else:
        shutil.copy(source, target)
