"""
Write down what the phone draws of each scene: `tests/vectors/drawing.json`.

    PYTHONPATH=tests:server python tests/make_drawing_vector.py

What is there was drawn by a second drawing, in Python, before that one went: a place that moves
by chance is found. Make it anew only for a drawing that changes on purpose, and look at it first.
"""

import json
from pathlib import Path

from drive_scenes import SCENES
from peer import run_peer

VECTOR = Path(__file__).parent / "vectors" / "drawing.json"


def written(drawn: dict[str, tuple[str, list[dict[str, object]]]]) -> str:
    """A scene's words and its shapes, a shape a line: what moved is seen in a diff."""
    scenes = (
        f' {json.dumps(name)}: {{\n  "words": {json.dumps(words)},\n  "shapes": [\n'
        + ",\n".join(f"   {json.dumps(shape)}" for shape in shapes)
        + "\n  ]\n }"
        for name, (words, shapes) in drawn.items()
    )
    return "{\n" + ",\n".join(scenes) + "\n}\n"


def make() -> None:
    with run_peer() as peer:
        drawn = {
            name: (peer.call("drive_words", *scene), peer.call("drive_shapes", *scene))
            for name, scene in SCENES.items()
        }
    VECTOR.write_text(written(drawn))


if __name__ == "__main__":
    make()
