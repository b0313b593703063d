"""
What follows from the drive of a procedure: no block has it filled in a second time.

A figure that stands in two places is changed in one of them, and a belt is then counted one tooth
out. What is left out here is taken from the drive; what is filled in unlike it is refused.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any, Final

from twoturns.procedure.language import source
from twoturns.procedure.language.source import Items, Node, Text, plain
from twoturns.trade.drive import turns_until_marks_meet

#: The names under which a block asks for them.
FOLLOWING: Final = ("belt_order", "belt_turns", "counts")


class Unlike(Exception):
    """What is filled in is unlike the drive: `node`; `due`: what it says, None: it does not."""

    def __init__(self, node: Node, due: Node | None) -> None:
        self.node, self.due = node, due


def following(root: source.Mapping) -> Mapping[str, Node]:
    """
    Return what the drive of a source says, by name; nothing for what it does not tell.

    `belt_order`: the wheels as the belt goes on. `counts`: for each mark the teeth to it from that
    of the driving wheel, as mappings of `to` and `count`. `belt_turns`: turns of the crankshaft
    until the paint on the belt lies on every mark again.
    """
    drive = root.values.get("drive")
    if not isinstance(drive, source.Mapping):
        return {}
    found: dict[str, Node] = {}
    if isinstance(order := drive.values.get("order"), Items):
        found["belt_order"] = order
    if isinstance(counts := drive.values.get("counts"), Items):
        found["counts"] = replace(counts, values=list(_counts(counts)))
    if (turns := _belt_turns(plain(drive))) is not None:
        at = drive.values["belt"]
        found["belt_turns"] = Text(at.line, at.column, str(turns))
    return found


def _counts(counts: Items) -> Iterator[source.Mapping]:
    for count in counts.values:
        if isinstance(count, source.Mapping) and {"to", "teeth"} <= count.values.keys():
            values = {"to": count.values["to"], "count": count.values["teeth"]}
            keys = {"to": count.keys["to"], "count": count.keys["teeth"]}
            yield replace(count, values=values, keys=keys)


def _belt_turns(drive: Mapping[str, Any]) -> int | None:
    """The wheels that have a mark stand as before together with the belt, or not at all."""
    try:
        belt, wheels = drive["belt"]["teeth"], drive["wheels"]
        marked = [wheel["teeth"] for wheel in wheels if "mark_deg" in wheel and "teeth" in wheel]
        return turns_until_marks_meet(int(belt), *map(int, (wheels[0]["teeth"], *marked)))
    except (KeyError, IndexError, TypeError, ValueError, ZeroDivisionError):
        return None  # the drive itself is told to be wrong


def agreed(node: Node, due: Node) -> Node:
    """
    Return what is filled in, with what its members leave to the drive.

    Raises:
        Unlike: Where the drive says something else.
    """
    if not isinstance(due, Items) or not any(
        isinstance(each, source.Mapping) for each in due.values
    ):
        if plain(node) != plain(due):
            raise Unlike(node, due)
        return node
    if not isinstance(node, Items):
        return node  # its form is refused where it is read
    listed = {str(plain(each)["to"]): each for each in due.values}
    named = [each for each in node.values if isinstance(each, source.Mapping)]
    members: list[Node] = [_agreed_member(each, listed) for each in named]
    if listed:
        raise Unlike(node, next(iter(listed.values())))
    return replace(node, values=members) if len(named) == len(node.values) else node


def _agreed_member(member: source.Mapping, listed: dict[str, Node]) -> source.Mapping:
    """A member with all that the drive says of it; `listed` loses it."""
    to = member.values.get("to")
    found = listed.pop(str(plain(to)), None) if to else None
    if not isinstance(found, source.Mapping):
        raise Unlike(to or member, None)
    for word, said in found.values.items():
        if word in member.values and plain(member.values[word]) != plain(said):
            raise Unlike(member.values[word], said)
    return replace(
        member,
        values={**found.values, **member.values},
        keys={**found.keys, **member.keys},
    )
