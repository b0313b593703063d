"""
A block: work that is the same on every car, written once, with what differs left open.

Its file is written in the words of a procedure (conditions, moves, steps, ...). What it leaves open
stands under `fill_in`, and in its texts as `{nm}`: formats.md, section 6, says how. Parts may stand
`where` something is filled in, or for `each` member of a list.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from marshmallow import fields, validate

from twoturns.procedure.blocks.follows import FOLLOWING
from twoturns.procedure.errors import SourceErrors
from twoturns.procedure.language import schema, source
from twoturns.procedure.language.fields import (
    Shaped,
    Verbatim,
    Whole,
    Words,
    YesNo,
    a_name,
    named,
    several,
)
from twoturns.procedure.language.schema import Part
from twoturns.procedure.language.source import Document, fault_at
from twoturns.words import t
from twoturns.words.en.procedure.blocks import block as texts

KINDS: Final = ("name", "names", "words", "texts", "count", "figure", "window", "yes_no", "list")
#: What a member of a list may be made of.
KINDS_IN_LISTS: Final = ("name", "words", "count")
#: The parts of a procedure that a block may bring, `steps` aside.
SECTIONS: Final[tuple[str, ...]] = (
    "phases",
    "conditions",
    "moves",
    "voids",
    "rests",
    "absent",
    "rules",
    "ends",
    "tools",
    "kit",
)
#: What a procedure says of every block that it chooses: no block can ask for it under this name.
OF_EVERY_CHOICE: Final = ("edition", "without")
_EDITION = r"[1-9][0-9]{0,3}"


class Anything(fields.Field[Any]):
    """What is judged once the block is part of a procedure."""


class AskedSchema(Part):
    """
    One thing that a procedure fills in. `unit`: of a figure or a window. `of`: what each member
    of a list has. `otherwise`: what is taken where nothing is filled in; `may_lack`: then nothing.
    `follows`: what of the drive it is, `as_many_as`: what it has as many of (a list: together);
    both need not be filled in, and cannot be otherwise.
    """

    kind = fields.String(required=True, validate=validate.OneOf(KINDS))
    says = Words(200, required=True)
    unit = Words(16)
    of = named(fields.String(validate=validate.OneOf(KINDS_IN_LISTS)))
    otherwise = Anything()
    may_lack = YesNo(load_default=False)
    follows = fields.String(validate=validate.OneOf(FOLLOWING))
    as_many_as = several(fields.String())


class BlockSchema(Part):
    """A block's file."""

    block = a_name(required=True)
    edition = Whole(required=True)
    name = Words(64, required=True)
    because = Words(600, required=True)
    withdrawn = named(Words(400), keys=Shaped(_EDITION, t(texts.NOT_EDITION)), load_default=dict)
    fill_in = named(fields.Nested(AskedSchema), load_default=dict)
    phases = Verbatim()
    conditions = Verbatim()
    moves = Verbatim()
    voids = Verbatim()
    rests = Verbatim()
    absent = Verbatim()
    rules = Verbatim()
    ends = Verbatim()
    tools = Verbatim()
    kit = Verbatim()
    steps = several(Anything())


@dataclass(frozen=True)
class Asked:
    """What a block asks a procedure to fill in under one name."""

    kind: str
    says: str
    unit: str
    of: tuple[tuple[str, str], ...]
    may_lack: bool
    follows: str | None = None
    as_many_as: tuple[str, ...] = ()

    @property
    def is_known(self) -> bool:
        """Whether it follows from something else: nobody has to fill it in."""
        is_counted = bool(self.as_many_as) and self.kind == "count"
        return is_counted or (self.follows is not None and self.kind != "list")


@dataclass(frozen=True)
class Block:
    """
    A block as it was read.

    Args:
        id: Its name.
        edition: Counts up when it changes.
        name: What it is, for people.
        because: Why the work is done so.
        asked: What it leaves open.
        withdrawn: Why an edition is not to be used any more, by its number.
        document: Its file.
        text: The same as it was written.
        sha256: The hash of its file.
    """

    id: str
    edition: int
    name: str
    because: str
    asked: Mapping[str, Asked]
    withdrawn: Mapping[int, str]
    document: Document
    text: str
    sha256: str


def read_block(text: bytes) -> Block:
    """
    Read a block's file.

    Raises:
        SourceErrors: With every fault of its form, at its line.
    """
    document = source.read(text)
    said = schema.load(document, BlockSchema())
    problems = [
        fault_at(
            document.node(("fill_in", word), key=True),
            t(texts.NAME_TAKEN, word=word),
            hint=t(texts.NAME_TAKEN_HINT),
            code="name",
        )
        for word in OF_EVERY_CHOICE
        if word in said["fill_in"]
    ]
    if problems:
        raise SourceErrors(problems)
    return Block(
        id=said["block"],
        edition=said["edition"],
        name=said["name"],
        because=said["because"],
        asked={word: _asked(parts) for word, parts in said["fill_in"].items()},
        withdrawn={int(edition): why for edition, why in said["withdrawn"].items()},
        document=document,
        text=text.decode(),
        sha256=hashlib.sha256(text).hexdigest(),
    )


def _asked(parts: dict[str, Any]) -> Asked:
    return Asked(
        kind=parts["kind"],
        says=parts["says"],
        unit=parts.get("unit", ""),
        of=tuple(parts.get("of", {}).items()),
        may_lack=parts["may_lack"],
        follows=parts.get("follows"),
        as_many_as=tuple(parts.get("as_many_as", ())),
    )
