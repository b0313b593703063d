"""
Thumbnails: made once, from bytes that were found whole, and kept with a hash of their own.

Where the workshop is served they are made as soon as a photo is kept, by a thread that stands
behind all others (`begin_making`); one that is asked for before that, or is gone, is made then.

`thumbnails/ab/SHA`: the SHA-256 of the JPEG (32 bytes), then the JPEG. One that does not hash to
what stands before it is made anew. It shows what the photo was when it was whole, also after the
photo was damaged: that is told beside it, and not by it. Derived, and gone with an erasure. Who can
write the folder can put another in its place, hash and all, until the photo is read through.
"""

import hashlib
import logging
import os
import threading
from contextlib import suppress
from queue import Empty, Full, Queue

from twoturns.bag import picture
from twoturns.store import files
from twoturns.store.blobs import Blobs
from twoturns.store.errors import BlobDamaged, PhotosAway
from twoturns.trade.media import HEAD_BYTES, media_type

MOST_WAITING = 1_000  # those that find no room are made when they are asked for
LOW_PRIORITY = 15
_HASH_BYTES = 32


class Thumbnails:
    """The small JPEGs of photos, `picture.THUMBNAIL_PX` wide at most."""

    def __init__(self, blobs: Blobs) -> None:
        self._blobs = blobs
        self._one_at_a_time = threading.Lock()  # a large picture takes 300 MB meanwhile
        self._waiting: Queue[str] = Queue(MOST_WAITING)

    def begin_making(self) -> None:
        """Have a thread make those that wait, for as long as this process lives."""
        threading.Thread(target=self._make_always, daemon=True, name="thumbnails").start()

    def soon(self, sha256: str) -> None:
        """Have the thumbnail of a photo that is kept now made when there is time for it."""
        with suppress(Full):
            self._waiting.put_nowait(sha256)

    def make_next(self) -> None:
        """Make the thumbnail that waits longest, or wait for one; what is no picture has none."""
        self._make(self._waiting.get())

    def make_waiting(self) -> None:
        """Make those that wait now."""
        with suppress(Empty):
            while True:
                self._try_to_make(self._waiting.get_nowait())

    def _make(self, sha256: str) -> None:
        with suppress(FileNotFoundError, BlobDamaged):  # erased meanwhile; or noted by who found it
            with self._blobs.open(sha256) as file:
                is_picture = media_type(file.read(HEAD_BYTES)) is not None
            if is_picture:
                self.of(sha256)

    def _make_always(self) -> None:
        with suppress(OSError, AttributeError):  # Linux alone gives a thread a priority of its own
            os.setpriority(os.PRIO_PROCESS, threading.get_native_id(), LOW_PRIORITY)
        while True:
            self._try_to_make(self._waiting.get())

    def _try_to_make(self, sha256: str) -> None:
        try:
            self._make(sha256)
        except PhotosAway:
            pass  # the log has why; it is made when it is asked for
        except Exception:  # a thread that ends says so to nobody
            logging.getLogger("twoturns").exception("a thumbnail was not made")

    def of(self, sha256: str) -> bytes | None:
        """
        Return the thumbnail of a photo; None if it is no picture that can be made small.

        Raises:
            BlobDamaged: If it has none yet, and the photo is altered or missing.
        """
        found = self._kept(sha256)
        if found is None:
            found = self.copy(sha256, picture.THUMBNAIL_PX)
            if found is not None:
                self._keep(sha256, found)
        return found

    def renew_if_other(self, sha256: str) -> bool:
        """
        Make the thumbnail that is kept anew if it is not of the photo, and say whether it was so.

        The hash before it keeps away the accidents of a disk, and nobody who can write the folder.
        One that another edition of the encoder made is of the photo still.

        Raises:
            BlobDamaged: If the photo is altered or missing.
        """
        kept = self._kept(sha256)
        if kept is None:
            return False
        fresh = self.copy(sha256, picture.THUMBNAIL_PX)
        if fresh is not None and (fresh == kept or picture.alike(fresh, kept)):
            return False
        self._blobs.drop_thumbnail(sha256)
        if fresh is not None:
            self._keep(sha256, fresh)
        return True

    def copy(self, sha256: str, width_px: int) -> bytes | None:
        """Make a smaller copy of a photo, kept nowhere. Raises and returns as `of` does."""
        with self._one_at_a_time, self._blobs.open_whole(sha256) as file:
            data = files.read_at_most(file, picture.MAX_BYTES + 1)
            return picture.copy_at_most(data, width_px)

    def _keep(self, sha256: str, small: bytes) -> None:
        self._blobs.keep_thumbnail(sha256, hashlib.sha256(small).digest() + small)

    def _kept(self, sha256: str) -> bytes | None:
        data = self._blobs.thumbnail(sha256)
        if data is None:
            return None
        hashed, small = data[:_HASH_BYTES], data[_HASH_BYTES:]
        return small if hashlib.sha256(small).digest() == hashed else None
