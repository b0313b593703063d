"""How parts of a procedure come together: of two blocks, and of a procedure over its blocks."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Final

from twoturns.procedure.language import source
from twoturns.procedure.language.source import Items, Node, Text

_IDENTITIES: Final = ("id", "name")  # by which members of a list are told apart


def joined(one: Node, other: Node, refuse: Callable[[Node, Node], None]) -> Node:
    """
    Return what two blocks say together: keys and names of both. `refuse` hears of a part that
    each says otherwise, with both of them.
    """
    if isinstance(one, source.Mapping) and isinstance(other, source.Mapping):
        values, keys = dict(one.values), dict(one.keys)
        for key, value in other.values.items():
            values[key] = joined(values[key], value, refuse) if key in values else value
            keys.setdefault(key, other.keys[key])
        return replace(one, values=values, keys=keys)
    if _are_names(one) or _are_names(other):
        names = {each.value: each for each in (*_names(other), *_names(one))}
        order = dict.fromkeys(each.value for each in (*_names(one), *_names(other)))
        return Items(one.line, one.column, [names[name] for name in order], one.block, is_flow=True)
    if not (isinstance(one, Text) and isinstance(other, Text) and one.value == other.value):
        refuse(one, other)
    return one


def over(below: Node, above: Node) -> Node:
    """
    Return what a procedure says over a block: key by key; of a list whose members have an `id`
    or a `name`, member by member, new ones at its end; anything else is replaced.
    """
    if isinstance(below, source.Mapping) and isinstance(above, source.Mapping):
        values, keys = dict(below.values), dict(below.keys)
        for key, value in above.values.items():
            values[key] = over(values[key], value) if key in values else value
            keys[key] = above.keys[key]
        return replace(below, values=values, keys=keys)
    if isinstance(below, Items) and isinstance(above, Items):
        identity = _identity(below)
        if identity and identity == _identity(above):
            return _member_by_member(below, above, identity)
    return above


def named_member(items: Node | None, name: str) -> Node | None:
    """Return the member of a list that has this `id` or `name`."""
    if not isinstance(items, Items) or not (identity := _identity(items)):
        return None
    return next((each for each in items.values if _is_called(each, identity, name)), None)


def members(part: Node) -> list[str]:
    """Return what the members of a part are called; of a text, nothing."""
    if isinstance(part, source.Mapping):
        return list(part.values)
    identity = _identity(part) if isinstance(part, Items) else None
    if not isinstance(part, Items) or identity is None:
        return []
    named = (each.values[identity] for each in part.values if isinstance(each, source.Mapping))
    return [name.value for name in named if isinstance(name, Text)]


def _member_by_member(below: Items, above: Items, identity: str) -> Items:
    values = list(below.values)
    for member in above.values:
        assert isinstance(member, source.Mapping)  # noqa: S101 - `_identity` has seen to it
        called = member.values[identity]
        assert isinstance(called, Text)  # noqa: S101 - the same
        places = [at for at, each in enumerate(values) if _is_called(each, identity, called.value)]
        if places:
            values[places[0]] = over(values[places[0]], member)
        else:
            values.append(member)
    return replace(below, values=values)


def _identity(items: Items) -> str | None:
    for word in _IDENTITIES:
        if items.values and all(
            isinstance(each, source.Mapping) and isinstance(each.values.get(word), Text)
            for each in items.values
        ):
            return word
    return None


def _is_called(node: Node, identity: str, name: str) -> bool:
    if not isinstance(node, source.Mapping):
        return False
    called = node.values.get(identity)
    return isinstance(called, Text) and called.value == name


def _are_names(node: Node) -> bool:
    return isinstance(node, Items) and all(isinstance(each, Text) for each in node.values)


def _names(node: Node) -> list[Text]:
    listed = node.values if isinstance(node, Items) else [node]
    return [each for each in listed if isinstance(each, Text)]
