"""
Make the worked bag, `tests/vectors/bag.zip`, and what a reader must find in it, `bag.json`.

    PYTHONPATH=tests:server python tests/make_bag_vector.py

Keys and salts are by chance, so it is another one each time. The one that is there is kept: a
reader of any later edition must take it.
"""

import json
import tempfile
from pathlib import Path

from bag_cuts import RichJob
from bags import unpacked
from twoturns.bag import layout

VECTORS = Path(__file__).parent / "vectors"


def make() -> None:
    with tempfile.TemporaryDirectory() as folder:
        rich = RichJob(Path(folder) / "data")
        bag = rich.bag(originals=False)
    files = unpacked(bag)
    said = json.loads(files[layout.ACCOUNT])
    ids = files[layout.IDS].decode().splitlines()
    expected = {
        "job": said["job"],
        "workshop": said["workshop"],
        "size": said["size"],
        "root": said["root"],
        "made_on": said["made_on"],
        "entries": sum(line.startswith("entry ") for line in ids),
        "others": sum(line.startswith("other ") for line in ids),
        "exceptions": sorted({one["code"] for one in said["exceptions"]}),
    }
    (VECTORS / "bag.zip").write_bytes(bag)
    (VECTORS / "bag.json").write_text(json.dumps(expected, indent=1) + "\n")


if __name__ == "__main__":
    make()
