"""The blocks that come with the program: sound by themselves, and each of use to several."""

import pytest

from twoturns.procedure.blocks.fill_in import OPEN
from twoturns.procedure.blocks.library import library
from twoturns.procedure.language.source import Items, Mapping

NAMES = sorted(library())


def texts(node):
    """Every key and text of a part of a block, with the words of its conditions and lists."""
    if isinstance(node, Mapping):
        for key, value in node.values.items():
            if key in ("where", "where_not", "each"):
                yield "{" + value.value + "}"
            else:
                yield key
                yield from texts(value)
    elif isinstance(node, Items):
        for each in node.values:
            yield from texts(each)
    else:
        yield node.value


@pytest.mark.parametrize("name", NAMES)
def test_what_a_block_leaves_open_is_what_it_asks_for(name):
    block = library()[name]
    assert block.id == name
    brings = [part for word, part in block.document.root.values.items() if word != "fill_in"]
    otherwise = [
        asked.values["otherwise"]
        for asked in getattr(block.document.root.values.get("fill_in"), "values", {}).values()
        if "otherwise" in asked.values
    ]
    left_open = {
        found[2]
        for part in (*brings, *otherwise)
        for said in texts(part)
        for found in OPEN.finditer(said)
    }
    assert left_open == set(block.asked)
