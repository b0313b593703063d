"""
The phone's half of a bundle's shape: `python -m twoturns.procedure.compile.typescript`.

Writes `client/src/procedure/shape.ts` in the checkout this module stands in: the types, and the
fields by name, with which an app tells a bundle of a later form from one that it may work by. A
test fails when the file is not this.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from types import UnionType
from typing import (
    Annotated,
    Literal,
    NotRequired,
    get_args,
    get_origin,
    get_type_hints,
    is_typeddict,
)

from twoturns.procedure import shape

FILE = Path(__file__).resolve().parents[4] / "client" / "src" / "procedure" / "shape.ts"
_OPENING = """\
/**
 * The shape of a bundle (formats.md, section 6), and its fields by name.
 * Written by `python -m twoturns.procedure.compile.typescript`: change shape.py, not this.
 */
export interface Fields {
  readonly [name: string]: Fields | true
}
"""
_SIMPLE = {str: "string", int: "number", bool: "boolean", type(None): "null"}
_NAMED = {shape.ProofKind: "ProofKind", shape.Way: "Way"}
Fields = dict[str, "Fields | bool"]


def source() -> str:
    """Return the text of `shape.ts`."""
    known = json.dumps(_names(shape.Bundle), separators=(",", ":"))
    aliases = [
        f"export type {name} = {' | '.join(map(repr, get_args(of)))}" for of, name in _NAMED.items()
    ]
    interfaces = [_interface(of) for of in dict.fromkeys(_parts(shape.Bundle))]
    fields = f"export const FORM = {shape.FORM}\n\nexport const bundleFields: Fields = {known}"
    return "\n\n".join([_OPENING.rstrip(), *aliases, *interfaces, fields]) + "\n"


def _parts(of: type) -> Iterator[type]:
    """Yield the TypedDicts that one is made of, and itself last."""
    for hint in get_type_hints(of).values():
        yield from _dicts_in(hint)
    yield of


def _dicts_in(hint: object) -> Iterator[type]:
    if isinstance(hint, type) and is_typeddict(hint):
        yield from _parts(hint)
    for part in get_args(hint):
        yield from _dicts_in(part)


def _interface(of: type) -> str:
    # Of a TypedDict without a docstring Python says what a dict is.
    says = " ".join((of.__doc__ or "").split()) if "dict(" not in (of.__doc__ or "") else ""
    members = [
        f"  {name}{'?' if get_origin(hint) is NotRequired else ''}: {_type(hint)}"
        for name, hint in get_type_hints(of, include_extras=True).items()
    ]
    comment = f"/** {says} */\n" if says else ""
    return f"{comment}export interface {of.__name__} {{\n" + "\n".join(members) + "\n}"


def _type(hint: object) -> str:
    origin, parts = get_origin(hint), get_args(hint)
    if hint in _NAMED:
        return _NAMED[hint]
    if origin is Annotated and shape.Two() in parts:
        return "readonly [number, number]"
    if origin in (NotRequired, Annotated):
        return _type(parts[0])
    if origin is Literal:
        return " | ".join(map(repr, parts))
    if origin is UnionType:
        return " | ".join(map(_type, parts))
    if origin is tuple:
        return f"readonly [{', '.join(map(_type, parts))}]"
    if origin is list:
        inner = _type(parts[0])
        return f"readonly ({inner})[]" if " " in inner else f"readonly {inner}[]"
    assert isinstance(hint, type)  # noqa: S101 - all that is left are classes
    return _SIMPLE.get(hint, hint.__name__)


def _names(of: type) -> Fields:
    """Return a TypedDict's members by name; `true` is what nobody looks into."""
    return {name: _names_in(hint) for name, hint in get_type_hints(of, include_extras=True).items()}


def _names_in(hint: object) -> Fields | bool:
    origin, parts = get_origin(hint), get_args(hint)
    if origin is Annotated and shape.Unjudged() in parts:
        return True
    if origin in (NotRequired, list):
        return _names_in(parts[0])
    return _names(hint) if isinstance(hint, type) and is_typeddict(hint) else True


if __name__ == "__main__":
    FILE.write_text(source(), encoding="utf-8")
