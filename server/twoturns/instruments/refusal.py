"""What an instrument says instead of a value: the fact first, then what to do."""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True)
class Refusal:
    """The mechanic reads message and hint as they stand."""

    code: str
    message: str
    hint: str


def rounded(x: float) -> int:
    """Halves upward, as the phone rounds."""
    return math.floor(x + 0.5)
