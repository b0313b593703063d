"""
How large a bag may be: what `read` looks into, and so what `write` makes.

They are for one job: 20,000 files, 128 MiB a text and 8 GiB in all are far above any.
"""

from typing import Final

from twoturns.bag import layout
from twoturns.words import t
from twoturns.words.en.bag import bounds as words

MAX_FILES: Final = 20_000
MAX_UNPACKED: Final = 8 << 30
MAX_TEXT: Final = 128 << 20


def too_many(files: int, unpacked: int) -> str | None:
    """Return what is too much of a bag of so many files and bytes, in words."""
    if files > MAX_FILES:
        return t(words.TOO_MANY_FILES, files=files, max_files=MAX_FILES)
    if unpacked > MAX_UNPACKED:
        return t(words.BAG_TOO_LARGE, max_unpacked=MAX_UNPACKED >> 30)
    return None


def too_long(name: str, size: int) -> str | None:
    """Return what is too much of a file of a bag, in words. Blobs have only the limit of all."""
    if layout.blob_of(name) is None and size > MAX_TEXT:
        return t(words.FILE_TOO_LARGE, name=name, size=size, max_text=MAX_TEXT)
    return None
