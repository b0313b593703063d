"""
A bucket of an S3-compatible object store: the only module that knows its client.

The client is OpenDAL, chosen by measuring (PyPI, November 2026; one machine, the same 3 MB and the
same store, 4 volumes of SeaweedFS on loopback):

    client    import, first client   memory   wheels    put   get MB/s   lacks
    opendal        0.06-0.12 s        18 MB   19.4 MB    62     742      -
    obstore        0.05-0.13 s        15 MB    5.6 MB    45     255      versions of an object
    minio           0.2-0.6 s         29 MB    2.5 MB    84     232      a put only if there is none
    boto3           0.8-1.3 s         49 MB   17.3 MB    32     112      -

What is asked of the store: `If-None-Match: *` on a put, `If-Match` on a get, list, and where the
bucket keeps versions, their list and their removal. Nothing is believed of a checksum of its own.
Every other answer than a wanted one is `PhotosAway`: where a store says "no such bucket" as it says
"no such photo", nobody may take a missing bucket for missing photos, so what the bucket belongs to
is read first (`workshop`, an object in it).
"""

from __future__ import annotations

import io
import logging
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from importlib.util import find_spec
from typing import TYPE_CHECKING, Any, TypeVar, cast

from twoturns.store.errors import PhotosAway, PhotosElsewhere, StoreError
from twoturns.words import t
from twoturns.words.en.store import bucket as words

if TYPE_CHECKING:
    import opendal

R = TypeVar("R")
OWNER = "workshop"  # the object that says whose photos these are
PART_BYTES = 4 << 20  # of one answer: a photo is mostly one
CHUNK_BYTES = 16 << 20  # of one request; what is larger goes in several, and appears as one
WAIT_SECONDS, CARRY_SECONDS = 5.0, 30.0  # for a question, all of its tries together
REST_SECONDS = 5.0
RETRIES, FIRST_PAUSE_SECONDS = 3, 0.1


@dataclass(frozen=True)
class BucketAt:
    """Where a bucket is, and by what key it opens. `prefix` ends with a slash, or is empty."""

    endpoint: str
    bucket: str
    prefix: str
    region: str
    key: str
    secret: str

    @property
    def where(self) -> str:
        """The place, to be told: without the secret."""
        return f"{self.endpoint}/{self.bucket}/{self.prefix}"

    def __repr__(self) -> str:
        return f"BucketAt({self.where})"


@dataclass(frozen=True)
class Found:
    """An object as the store tells of it. `etag` changes with its bytes."""

    name: str
    size: int
    etag: str | None
    modified: datetime | None


class Bucket:
    """The objects below a prefix. `owner`: the workshop that they must be of; None: not asked."""

    def __init__(self, at: BucketAt, owner: str | None) -> None:
        if find_spec("opendal") is None:
            raise StoreError(
                t(words.CLIENT_MISSING), code="scale-missing", hint=t(words.CLIENT_MISSING_HINT)
            )
        self.at, self._owner = at, owner
        self._failed = ""  # what it said last, if that was no answer, and until when that is enough
        self._rests_until = 0.0

    @property
    def rests(self) -> bool:
        """Whether the store gave no answer just now."""
        return time.monotonic() < self._rests_until

    @cached_property
    def _objects(self) -> opendal.Operator:
        objects = _connected(self.at)
        if self._owner is not None:
            self._require(_owner_in(objects), self._owner)
        return objects

    def claim(self, owner: str) -> None:
        """
        Write down that all below the prefix is of a workshop.

        Raises:
            PhotosElsewhere: If another one has, or the store does not heed what is asked of it.
        """
        if not self.put(OWNER, owner.encode(), is_new=True):
            self._require(self._ask(_owner_in), owner)
        found = self.find(OWNER)
        if found is None or self.put(OWNER, owner.encode(), is_new=True) or self._heeds_no_tag():
            raise PhotosElsewhere(
                t(words.HEEDS_NOTHING),
                hint=t(words.HEEDS_NOTHING_HINT),
                particulars=self.at.where,
            )

    def _heeds_no_tag(self) -> bool:
        """Say whether an object comes that is asked for by a tag which it has not."""

        def is_given(objects: opendal.Operator) -> bool:
            try:
                objects.read(OWNER, if_match='"0"')
            except _kinds().ConditionNotMatch:
                return False
            return True

        return self._ask(is_given)

    def _require(self, found: str | None, owner: str) -> None:
        if found == owner:
            return
        says = words.NO_PHOTOS_THERE if found is None else words.PHOTOS_OF_ANOTHER
        raise PhotosElsewhere(t(says), particulars=self.at.where)

    def find(self, name: str) -> Found | None:
        """Return what the store tells of an object; None if it has none of that name."""

        def found(objects: opendal.Operator) -> Found | None:
            try:
                return _found(name, objects.stat(name))
            except _kinds().NotFound:
                return None

        return self._ask(found)

    def read(self, found: Found, start: int, size: int) -> bytes:
        """
        Read a part of an object, if it is the very one that was found.

        Raises:
            FileNotFoundError: If it is gone, or another one by now.
        """
        size = min(size, found.size - start)

        def part(objects: opendal.Operator) -> bytes:
            try:
                return objects.read(found.name, offset=start, size=size, if_match=found.etag)
            except (_kinds().NotFound, _kinds().ConditionNotMatch):
                raise FileNotFoundError(found.name) from None

        return self._ask(part) if size > 0 else b""

    def fetch(self, name: str) -> bytes | None:
        """Read all of a small object, of whichever there is, in one question; None if none is."""

        def bytes_of(objects: opendal.Operator) -> bytes | None:
            try:
                return objects.read(name)
            except _kinds().NotFound:
                return None

        return self._ask(bytes_of)

    def parts(self, found: Found) -> Iterator[bytes]:
        """Yield all of an object. Raises as `read` does."""
        for start in range(0, found.size, PART_BYTES):
            yield self.read(found, start, PART_BYTES)

    def put(self, name: str, data: bytes | memoryview, *, is_new: bool = False) -> bool:
        """Write an object; False, and nothing written, if it must be new and there is one."""
        chunk = CHUNK_BYTES if len(data) > CHUNK_BYTES else None

        def write(objects: opendal.Operator) -> bool:
            try:
                # What is mapped from a file is as good as bytes to it; its types do not say so.
                given = cast("bytes", data)
                objects.write(name, given, chunk=chunk, if_not_exists=is_new or None)
            except (_kinds().ConditionNotMatch, _kinds().AlreadyExists, _kinds().Conflict):
                if not is_new:
                    raise
                return False
            return True

        return self._ask(write)

    def below(self, prefix: str) -> Iterator[Found]:
        """Yield the objects whose names begin with a prefix, in the order of their names."""
        listed = self._ask(lambda objects: iter(objects.list(prefix, recursive=True)))
        while (one := self._ask(lambda _: next(listed, None))) is not None:
            if not one.path.endswith("/"):
                yield _found(one.path, one.metadata)

    def erase(self, prefix: str) -> None:
        """
        Remove every version of the objects whose names begin with a prefix.

        The last name goes first, and of an object its oldest version: broken off, that leaves no
        piece of an upload beyond a gap, and brings no older version to light.

        Raises:
            PhotosAway: Also if one is still there after that.
        """

        def erase(objects: opendal.Operator) -> None:
            listed = [*objects.list(prefix, recursive=True, versions=True, deleted=True)]
            for one in reversed([one for one in listed if not one.path.endswith("/")]):
                objects.delete(one.path, version=one.metadata.version)

        self._ask(erase)
        if any(True for _ in self.below(prefix)):
            raise PhotosAway(t(words.STILL_THERE, where=self.at.where, name=prefix))

    def _ask(self, question: Callable[[opendal.Operator], R]) -> R:
        """
        Ask the store; what its client raises is `PhotosAway`, and the log has why.

        For some seconds after that nobody else is let wait for it: a store that takes each question
        and answers none would hold every thread, and what needs no photo with them.
        """
        if self.rests:
            raise PhotosAway(self._failed)
        try:
            return question(self._objects)
        except _any_kind() as error:
            self._failed = f"{self.at.where}: {_cause(str(error))}"
            self._rests_until = time.monotonic() + REST_SECONDS
            logging.getLogger("twoturns").warning("the store of the photos: %s", self._failed)
            raise PhotosAway(self._failed) from error


def _cause(told: str) -> str:
    """Return of what the client tells the first line, and where there is one, the cause."""
    first, _, rest = told.partition("\n")
    cause = rest.partition("Source:")[2].strip().partition("\n")[0]
    return f"{first}: {cause}" if cause else first


def _found(name: str, said: opendal.types.Metadata) -> Found:
    return Found(name, said.content_length, said.etag, said.last_modified)


class ObjectFile(io.RawIOBase):
    """An object as a file that is read in parts, each from the store when it is asked for."""

    def __init__(self, bucket: Bucket, found: Found) -> None:
        self._bucket, self._found, self._at = bucket, found, 0

    def readable(self) -> bool:
        return True

    def seekable(self) -> bool:
        return True

    def seek(self, offset: int, whence: int = io.SEEK_SET) -> int:
        starts = {io.SEEK_SET: 0, io.SEEK_CUR: self._at, io.SEEK_END: self._found.size}
        self._at = max(0, starts[whence] + offset)
        return self._at

    def tell(self) -> int:
        return self._at

    def readinto(self, room: Any) -> int:  # noqa: ANN401 - a buffer, which 3.11 has no type for
        data = self._bucket.read(self._found, self._at, len(room))
        room[: len(data)] = data
        self._at += len(data)
        return len(data)


def _connected(at: BucketAt) -> opendal.Operator:
    import opendal  # noqa: PLC0415 - none but a workshop with a bucket has it
    from opendal import layers  # noqa: PLC0415 - as said

    objects = opendal.Operator(
        "s3",
        endpoint=at.endpoint,
        bucket=at.bucket,
        root=f"/{at.prefix}",
        region=at.region,
        access_key_id=at.key,
        secret_access_key=at.secret,
        disable_config_load="true",
        disable_ec2_metadata="true",
    )
    patient = layers.RetryLayer(max_times=RETRIES, min_delay=FIRST_PAUSE_SECONDS, max_delay=1.0)
    # Around the tries, not within each: a store that says nothing would be asked four times.
    bounded = layers.TimeoutLayer(timeout=WAIT_SECONDS, io_timeout=CARRY_SECONDS)
    return objects.layer(patient).layer(bounded)


def _owner_in(objects: opendal.Operator) -> str | None:
    try:
        return objects.read(OWNER).decode("utf-8", "replace")
    except _kinds().NotFound:
        return None


def _kinds() -> Any:  # noqa: ANN401 - a module, imported by `_connected` before anything is asked
    from opendal import exceptions  # noqa: PLC0415 - as said

    return exceptions


def _any_kind() -> tuple[type[Exception], ...]:
    """Return all that the client raises: its errors have no base of their own."""
    return tuple(one for one in vars(_kinds()).values() if isinstance(one, type))
