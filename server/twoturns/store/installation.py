"""
An installation: one folder of many workshops that are strangers to each other.

`workshops/HOST/` is the folder of the workshop whose phones ask at HOST, as it would stand alone:
its key, its ledger, its photos. The name is the only list there is, so nothing can say another
thing than what lies there: a workshop is moved, put back or taken out as a folder. One more name
for a workshop is a symbolic link; phones that came in by it keep to it.
"""

import re
from collections.abc import Iterable
from pathlib import Path
from typing import Final

from twoturns.store.errors import NotAWorkshop
from twoturns.words import t
from twoturns.words.en.store import installation as words

_WORKSHOPS: Final = "workshops"
# RFC 1123, section 2.1, as a browser sends it: in lower case, without a dot at its end. Nothing
# else becomes a folder's name.
_LABEL: Final = r"[a-z0-9](?:[a-z0-9-]{0,61}[a-z0-9])?"
_HOST: Final = re.compile(rf"(?=.{{1,253}}\Z){_LABEL}(?:\.{_LABEL})*\Z")


def host_of(name: str) -> str:
    """
    Return a host name as it stands in a request.

    Raises:
        NotAWorkshop: If it is none.

    >>> host_of("North.Example"), host_of("süd.example")
    ('north.example', 'xn--sd-xka.example')
    """
    try:
        host = name.encode("idna").decode().lower()
    except UnicodeError:
        host = ""
    if not _HOST.match(host):
        raise NotAWorkshop(t(words.NO_HOST_NAME, name=name), hint=t(words.NO_HOST_NAME_HINT))
    return host


class Installation:
    """The folder of an installation. It remembers nothing: a new workshop is there at once."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._workshops = folder / _WORKSHOPS

    @property
    def is_one(self) -> bool:
        """Whether the folder is an installation's; that of a workshop is none."""
        return self._workshops.is_dir()

    @property
    def names(self) -> list[str]:
        """The host names that somebody has, in order."""
        if not self.is_one:
            return []
        there = (path.name for path in self._workshops.iterdir() if path.is_dir())
        return sorted(name for name in there if _HOST.match(name))

    def once(self, names: Iterable[str]) -> list[str]:
        """Return of these host names one for each workshop: a folder's own before a link to it."""
        paths = [self._workshops / name for name in names]
        by_folder: dict[Path, str] = {}
        for path in sorted(paths, key=lambda one: (one.is_symlink(), one.name)):
            by_folder.setdefault(path.resolve(), path.name)
        return sorted(by_folder.values())

    @property
    def strays(self) -> list[Path]:
        """What lies among the workshops and has no name that anybody could ask for."""
        there = sorted(self._workshops.iterdir()) if self.is_one else []
        return [path for path in there if not (path.is_dir() and _HOST.match(path.name))]

    def find(self, host: str) -> Path | None:
        """Return the folder of the workshop that is asked at a host; None if nobody is."""
        if not _HOST.match(host):
            return None
        folder = self._workshops / host
        return folder if folder.is_dir() else None

    def place(self, name: str) -> Path:
        """
        Return where the workshop of a host name has its folder, or will have it.

        Raises:
            NotAWorkshop: If the name is none, or something else is in this folder.
        """
        host = host_of(name)
        if not self.is_one and self.folder.is_dir() and any(self.folder.iterdir()):
            raise NotAWorkshop(
                t(words.NO_INSTALLATION, folder=str(self.folder)),
                hint=t(words.NO_INSTALLATION_HINT),
            )
        return self._workshops / host

    def make(self) -> None:
        """Make the folder, for its owner's eyes alone."""
        self._workshops.mkdir(parents=True, exist_ok=True)
        self.folder.chmod(0o700)


def host_at(folder: Path) -> str | None:
    """Return the host name of a workshop by its folder; None of one that stands alone."""
    is_one_of_many = folder.parent.name == _WORKSHOPS and _HOST.match(folder.name)
    return folder.name if is_one_of_many else None


def folder_of(data: Path, name: str | None) -> Path:
    """
    Return the folder of the workshop that is meant: of the name, or the only one.

    Raises:
        NotAWorkshop: If there are many, and none is named; or as `Installation.place`.
    """
    installation = Installation(data)
    if name is not None:
        return installation.place(name)
    if installation.is_one:
        raise NotAWorkshop(
            t(words.WHICH_ONE, folder=str(data), n=len(installation.names)),
            hint=t(words.WHICH_ONE_HINT, names=", ".join(installation.names)),
        )
    return data
