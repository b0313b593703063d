"""
What the S3 adapter costs, as a ratio to its client alone on the same bytes, to the same store.

Run by hand: `PYTHONPATH=server:tests python tests/bench/bench_photo_port.py`.

    put        hashed, put only if nobody has it, read back and hashed, against put alone
    read       found, read and hashed, against read alone
    part       64 KiB of a photo that was hashed before, against the whole read alone
    upload     in three pieces: each put, all read, hashed, put, read back, pieces removed; against
               put alone
    value      a private value of 150 bytes, put and read back, against put alone

1.0 is as fast as the client alone; below, slower. What it does that the client alone does not is
what it is there for. Found on a busy machine: put 0.75, read 0.81, part 1.8, upload 0.31 (the same
bytes go to the store twice and come back twice), value 0.74.
"""

import hashlib
import io
import os
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from statistics import median

from seaweed import PLAIN, running
from twoturns.store.blob_bucket import BlobBucket
from twoturns.store.upload_bucket import UploadBucket
from workshop import Workshop

ROUNDS, PHOTOS, PHOTO_BYTES = 5, 6, 3 << 20
DEVICE = "d" * 43


def main() -> None:
    with running() as store, tempfile.TemporaryDirectory() as folder:
        os.environ |= {"AWS_ACCESS_KEY_ID": store.key, "AWS_SECRET_ACCESS_KEY": store.secret}
        made = Workshop(Path(folder) / "data", photos=store.url(PLAIN)).store
        assert isinstance(made.blobs, BlobBucket)
        assert isinstance(made.uploads, UploadBucket)
        ratios: dict[str, list[float]] = {}
        for number in range(ROUNDS + 1):
            for name, ratio in one_round(made.blobs, made.uploads).items():
                if number:  # the first makes the store's volumes
                    ratios.setdefault(name, []).append(ratio)
        for name, found in ratios.items():
            told = f"median {median(found):.2f}, {min(found):.2f} to {max(found):.2f}"
            sys.stdout.write(f"{name:8} {told}\n")


def one_round(blobs: BlobBucket, uploads: UploadBucket) -> dict[str, float]:
    """Return how fast the adapter is, in what the client alone takes for the same bytes."""
    objects = blobs.bucket._objects
    alone, ours, sent = (fresh(PHOTO_BYTES) for _ in range(3))
    values, ours_of_values = fresh(150), fresh(150)
    put = took(lambda: [objects.write(f"alone/{name}", data) for name, data in alone.items()])
    small = took(lambda: [objects.write(f"alone/{name}", data) for name, data in values.items()])
    get = took(lambda: [objects.read(f"alone/{name}") for name in alone])
    return {
        "put": put / took(lambda: [blobs.bring(io.BytesIO(d), n) for n, d in ours.items()]),
        "read": get / took(lambda: [read_whole(blobs, name) for name in anew(blobs, ours)]),
        "part": get / took(lambda: [read_part(blobs, name) for name in ours]),
        "upload": put / took(lambda: [send(uploads, data) for data in sent.values()]),
        "value": small / took(lambda: [blobs.put(data) for data in ours_of_values.values()]),
    }


def fresh(size: int) -> dict[str, bytes]:
    made = [os.urandom(size) for _ in range(PHOTOS)]
    return {hashlib.sha256(data).hexdigest(): data for data in made}


def took(work: Callable[[], object]) -> float:
    since = time.perf_counter()
    work()
    return time.perf_counter() - since


def anew(blobs: BlobBucket, names: dict[str, bytes]) -> list[str]:
    """Forget what these hashed to."""
    blobs._remembered._known.clear()
    return list(names)


def read_whole(blobs: BlobBucket, name: str) -> None:
    with blobs.open_whole(name) as file:
        while file.read(1 << 20):
            pass


def read_part(blobs: BlobBucket, name: str) -> None:
    with blobs.open_whole(name) as file:
        file.seek(1 << 20)
        file.read(64 << 10)


def send(uploads: UploadBucket, data: bytes) -> None:
    sha256 = hashlib.sha256(data).hexdigest()
    uploads.begin(DEVICE, sha256, len(data))
    for start in range(0, len(data), 1 << 20):
        uploads.append(DEVICE, sha256, start, [data[start : start + (1 << 20)]])
    uploads.finish(DEVICE, sha256)


if __name__ == "__main__":
    main()
