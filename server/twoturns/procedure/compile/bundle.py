"""
Bundles: a folder compiled into immutable bytes, and bytes of unknown origin checked.

A bundle is addressed by the SHA-256 of its canonical JSON. `load` makes one out of a folder with
`procedure.yaml` and pictures; `check_bundle` judges one that a device wants to publish: its form,
that its machine points nowhere outside itself, and that its pictures are at hand.
"""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import cast

from marshmallow import ValidationError

from twoturns.ledger.canonical import dumps, loads
from twoturns.ledger.errors import NotCanonical
from twoturns.procedure import shape
from twoturns.procedure.blocks.library import SUFFIX
from twoturns.procedure.compile.compiler import Compiled, compile_source
from twoturns.procedure.compile.form import (
    UNKNOWN,
    faults_of_machine,
    outline_schema,
    schema_of,
)
from twoturns.procedure.compile.instead import WordsOfWorkshop
from twoturns.procedure.errors import BundleError, NewerForm
from twoturns.procedure.language.schema import PICTURE_TYPES
from twoturns.procedure.rules.house import SilentRule
from twoturns.words import t
from twoturns.words.en.procedure.compile import bundle as words

SOURCE_NAME = "procedure.yaml"
BLOCKS_NAME = "blocks"  # the folder of blocks that only this procedure has
MOST_BYTES = 4 * 1024 * 1024
_AS_WRITTEN = t(words.BYTES_AS_COMPILED_HINT)
_COMPILE_AGAIN = t(words.COMPILE_AGAIN_HINT)
_SCHEMA = schema_of(shape.Bundle)()
_OUTLINE = outline_schema()
_sound: set[bytes] = set()  # the hashes of bytes whose form was found right: it stays so


@dataclass(frozen=True)
class Bundle:
    """A compiled procedure with its bytes, its address and its pictures by name."""

    compiled: Compiled
    canonical: bytes
    sha256: str
    assets: dict[str, bytes]

    @property
    def bundle(self) -> shape.Bundle:
        """The bundle as it is published: plain data."""
        return self.compiled.bundle

    @property
    def silent_rules(self) -> tuple[SilentRule, ...]:
        """The rules that nothing in this procedure can break."""
        return self.compiled.silent_rules


def load(folder: Path, workshop: WordsOfWorkshop | None = None) -> Bundle:
    """
    Compile a folder: the source, its pictures, and the blocks in its own folder `blocks`.
    `workshop` is what the workshop takes otherwise.

    Raises:
        BundleError: If it holds no source.
        SourceErrors: With every fault of the source.
    """
    try:
        text = (folder / SOURCE_NAME).read_bytes()
    except OSError as error:
        raise BundleError(
            t(
                words.FOLDER_UNREADABLE,
                folder=str(folder / SOURCE_NAME),
                strerror=str(error.strerror),
            ),
            hint=t(words.FOLDER_UNREADABLE_HINT, source_name=SOURCE_NAME),
            code="no-source",
        ) from error
    pictures = {
        file.name: file.read_bytes()
        for file in sorted(folder.iterdir())
        if file.suffix[1:] in PICTURE_TYPES and file.is_file()
    }
    return bundle_of(text, pictures, workshop, _own_blocks(folder))


def bundle_of(
    text: bytes,
    pictures: Mapping[str, bytes],
    workshop: WordsOfWorkshop | None = None,
    blocks: Mapping[str, bytes] | None = None,
) -> Bundle:
    """
    Compile a source with its pictures, and the blocks beside it, by name. Raises as `load` does.
    """
    compiled = compile_source(text, pictures, workshop=workshop, blocks=blocks)
    data = canonical(compiled.bundle)
    check_bundle(data)
    assets = {asset["name"]: pictures[asset["name"]] for asset in compiled.bundle["assets"]}
    address = hashlib.sha256(data).hexdigest()
    return Bundle(compiled, data, address, assets)


def _own_blocks(folder: Path) -> dict[str, bytes]:
    """Return the blocks beside a source. No name in it leads to a file: these alone are read."""
    beside = folder / BLOCKS_NAME
    if beside.is_symlink() or not beside.is_dir():
        return {}
    return {
        file.name: file.read_bytes()
        for file in sorted(beside.iterdir())
        if file.suffix == SUFFIX and file.is_file() and not file.is_symlink()
    }


def canonical(value: shape.Bundle) -> bytes:
    """Return the canonical JSON of a bundle."""
    with _as_bundle_error():
        return dumps(value)


def check_bundle(data: bytes, held: Collection[str] | None = None) -> shape.Bundle:
    """
    Return a bundle, checked.

    Args:
        data: Its canonical bytes.
        held: The hashes of the blobs at hand; without it pictures are not asked for.

    Raises:
        BundleError: The first thing that is wrong.
        NewerForm: If nothing is wrong but that a newer program compiled it.
    """
    said = _read(data)
    address = hashlib.sha256(data).digest()
    if address not in _sound:
        _check_form(said)
        _sound.add(address)
    bundle = cast(shape.Bundle, said)  # its bytes were found to be so
    for asset in bundle["assets"]:
        if held is not None and asset["blob"] not in held:
            raise BundleError(
                t(words.PICTURE_MISSING, name=asset["name"], blob=asset["blob"][:12]),
                hint=t(words.PICTURE_MISSING_HINT),
                code="picture-missing",
            )
    return bundle


def outline(data: bytes) -> shape.Outline:
    """
    Return `id` and `assets` of a bundle of whatever form: what passing it on needs.

    Raises:
        BundleError: If these are not as they must be.
    """
    bundle = _read(data)
    try:
        outlined = _OUTLINE.load(bundle)
    except ValidationError as error:
        path, message = next(_flat(error.messages))
        raise BundleError(f"{path}: {message}", hint=_COMPILE_AGAIN, code="bundle-form") from error
    return {"id": outlined["id"], "assets": outlined["assets"]}


def _check_form(bundle: dict[str, object]) -> None:
    form = bundle.get("v")
    if type(form) is int and form > shape.FORM:
        raise NewerForm(t(words.FORM_TOO_NEW, v=form, form=shape.FORM))
    try:
        _SCHEMA.load(bundle)
    except ValidationError as error:
        faults = list(_flat(error.messages))
        path, message = faults[0]
        if all(said == UNKNOWN for _, said in faults):
            raise NewerForm(t(words.UNKNOWN_FIELD, path=path)) from error
        raise BundleError(
            f"{path or t(words.THE_BUNDLE)}: {message}",
            hint=_COMPILE_AGAIN,
            code="bundle-form",
        ) from error
    for fault in faults_of_machine(cast(shape.Bundle, bundle)):
        raise BundleError(fault, hint=_COMPILE_AGAIN, code="bundle-machine")


def _read(data: bytes) -> dict[str, object]:
    if len(data) > MOST_BYTES:
        raise BundleError(
            t(words.BUNDLE_TOO_LARGE, data=len(data), most_bytes=MOST_BYTES),
            hint=t(words.BUNDLE_TOO_LARGE_HINT),
            code="too-large",
        )
    with _as_bundle_error():
        bundle = loads(data)
    if not isinstance(bundle, dict):
        raise BundleError(
            t(words.NOT_CANONICAL),
            hint=_AS_WRITTEN,
            code="not-canonical",
        )
    return bundle


@contextmanager
def _as_bundle_error() -> Iterator[None]:
    try:
        yield
    except NotCanonical as error:
        raise BundleError(
            t(words.NOT_CANONICAL_JSON, error=str(error)),
            hint=_AS_WRITTEN,
            code="not-canonical",
        ) from error


def _flat(messages: object, path: str = "") -> Iterator[tuple[str, str]]:
    if isinstance(messages, dict):
        for part, below in messages.items():
            yield from _flat(below, f"{path}.{part}" if path else str(part))
    elif isinstance(messages, list):
        yield path, str(messages[0])
