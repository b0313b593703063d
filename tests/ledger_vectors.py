"""The vector files that both languages' tests read."""

import json
from pathlib import Path
from typing import Any

VECTORS = Path(__file__).resolve().parent / "vectors"


def vectors(name: str) -> dict[str, Any]:
    """One file of tests/vectors."""
    return json.loads((VECTORS / f"{name}.json").read_text(encoding="utf-8"))
