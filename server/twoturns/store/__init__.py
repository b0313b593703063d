"""
The store: the only room that touches the workshop's disk.

    ledger.db          records and tree (truth), views (rebuilt), sessions
    newest-checkpoint  what the ledger was last seen to be, should its log be lost
    blobs/ab/SHA       photos, private values, bundles (truth)
    uploads/           halves of photos on their way in
    photos.url         where those two are instead (`photos_at.py`)
    drafts/            procedures that are being written (no evidence)
    workshop.key       the private key, 0600; never in a backup

The names that others ask for are imported when they are: a command that opens no workshop needs the
store's errors alone, not its whole half second.
"""

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from twoturns.store.sight import Sight
    from twoturns.store.store import Store
    from twoturns.store.times import as_text

__all__ = ["Sight", "Store", "as_text"]

_MODULES = {"Sight": "sight", "Store": "store", "as_text": "times"}


def __getattr__(name: str) -> object:
    if name not in _MODULES:
        raise AttributeError(name)
    return getattr(import_module(f"{__name__}.{_MODULES[name]}"), name)
