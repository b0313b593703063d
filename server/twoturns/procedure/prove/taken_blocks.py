"""What is to be said of the blocks that a procedure takes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from twoturns.procedure.blocks.compose import Taken
from twoturns.procedure.prove.finding import Finding
from twoturns.words import t
from twoturns.words.en.procedure.prove import taken_blocks as texts


def withdrawn(blocks: Sequence[Taken]) -> Iterator[Finding]:
    """Find each block of which this very edition was withdrawn."""
    for block in blocks:
        if block.withdrawn is not None:
            yield Finding(
                "block-withdrawn",
                t(
                    texts.WITHDRAWN,
                    block=block.id,
                    edition=block.edition,
                    because=block.withdrawn,
                ),
                t(texts.WITHDRAWN_HINT),
                place=block.place,
            )
