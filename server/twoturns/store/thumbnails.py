"""
Thumbnails: made once, from bytes that were found whole, and kept with a hash of their own.

`thumbnails/ab/SHA`: the SHA-256 of the JPEG (32 bytes), then the JPEG. One that does not hash to
what stands before it is made anew. It shows what the photo was when it was whole, also after the
photo was damaged: that is told beside it, and not by it. Derived, and gone with an erasure. Who can
write the folder can put another in its place, hash and all, until the photo is read through.
"""

import hashlib
import secrets
import threading
from pathlib import Path

from twoturns.bag import picture
from twoturns.store import files
from twoturns.store.blobs import Blobs

_HASH_BYTES = 32


class Thumbnails:
    """The small JPEGs of photos, `picture.THUMBNAIL_PX` wide at most."""

    def __init__(self, blobs: Blobs) -> None:
        self._blobs = blobs
        self._one_at_a_time = threading.Lock()  # a large picture takes 300 MB meanwhile

    def of(self, sha256: str) -> bytes | None:
        """
        Return the thumbnail of a photo; None if it is no picture that can be made small.

        Raises:
            BlobDamaged: If it has none yet, and the photo is altered or missing.
        """
        path = self._blobs.thumbnail(sha256)
        found = _read(path)
        if found is None:
            found = self.copy(sha256, picture.THUMBNAIL_PX)
            if found is not None:
                _keep(path, found)
        return found

    def renew_if_other(self, sha256: str) -> bool:
        """
        Make the thumbnail that is kept anew if it is not of the photo, and say whether it was so.

        The hash before it keeps away the accidents of a disk, and nobody who can write the folder.
        One that another edition of the encoder made is of the photo still.

        Raises:
            BlobDamaged: If the photo is altered or missing.
        """
        path = self._blobs.thumbnail(sha256)
        kept = _read(path)
        if kept is None:
            return False
        fresh = self.copy(sha256, picture.THUMBNAIL_PX)
        if fresh is not None and (fresh == kept or picture.alike(fresh, kept)):
            return False
        path.unlink(missing_ok=True)
        if fresh is not None:
            _keep(path, fresh)
        return True

    def copy(self, sha256: str, width_px: int) -> bytes | None:
        """Make a smaller copy of a photo, kept nowhere. Raises and returns as `of` does."""
        with self._one_at_a_time, self._blobs.open_whole(sha256) as file:
            data = file.read(picture.MAX_BYTES + 1)
            return picture.copy_at_most(data, width_px)


def _read(path: Path) -> bytes | None:
    try:
        data = path.read_bytes()
    except FileNotFoundError:
        return None
    hashed, small = data[:_HASH_BYTES], data[_HASH_BYTES:]
    return small if hashlib.sha256(small).digest() == hashed else None


def _keep(path: Path, small: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    fresh = path.with_name(f"{path.name}.{secrets.token_hex(8)}")
    files.write_new(fresh, hashlib.sha256(small).digest() + small)
    files.move_into_place(fresh, path)
