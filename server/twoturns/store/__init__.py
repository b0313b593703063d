"""
The store: the only room that touches the workshop's disk.

    ledger.db          records and tree (truth), views (rebuilt), sessions
    newest-checkpoint  what the ledger was last seen to be, should its log be lost
    blobs/ab/SHA       photos, private values, bundles (truth)
    uploads/           halves of photos on their way in
    drafts/            procedures that are being written (no evidence)
    workshop.key       the private key, 0600; never in a backup
"""

from twoturns.store.sight import Sight
from twoturns.store.store import Store
from twoturns.store.times import as_text

__all__ = ["Sight", "Store", "as_text"]
