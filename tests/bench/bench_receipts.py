"""
What the proof in a receipt costs, as a ratio to the whole batch that earns it.

Run by hand: `PYTHONPATH=server:tests python tests/bench/bench_receipts.py`.

Batches of 50 signed entries go into a ledger of some thousands. Printed: the median batch, the
median time in it that went into the proof, their ratio, and the same for a page of 500 records.
The share should stay below a tenth of the batch. (Bytes: 32 a node, and a stamp of 27 an entry.)
"""

import tempfile
import time
from pathlib import Path
from statistics import median

from twoturns.ledger.tree import Tree
from workshop import Workshop, uuid7

BATCHES, LINES, WARM = 120, 50, 40


class Timed:
    """Adds up the seconds spent in `Tree.inclusion_of`."""

    def __init__(self) -> None:
        self.seconds, self.nodes, work = 0.0, 0, Tree.inclusion_of

        def timed(tree, indices, size):
            since = time.perf_counter()
            proof = work(tree, indices, size)
            self.seconds += time.perf_counter() - since
            self.nodes = len(proof)
            return proof

        Tree.inclusion_of = timed

    def taken(self) -> float:
        seconds, self.seconds = self.seconds, 0.0
        return seconds


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        workshop, timed = Workshop(Path(folder) / "data"), Timed()
        phone, job = workshop.enrol("mechanic"), uuid7()
        wholes, proofs = [], []
        for _ in range(BATCHES):
            said = [phone.write("job.taken", {}, job) for _ in range(LINES)]
            timed.taken()
            since = time.perf_counter()
            workshop.push(*said)
            wholes.append(time.perf_counter() - since)
            proofs.append(timed.taken())
        report("batch of 50", wholes[WARM:], proofs[WARM:], timed.nodes)
        wholes, proofs = [], []
        for since_index in range(0, workshop.store.ledger.size() - 500, 250):
            since = time.perf_counter()
            workshop.store.pages.page(since_index, limit=500)
            wholes.append(time.perf_counter() - since)
            proofs.append(timed.taken())
        report("page of 500", wholes, proofs, timed.nodes)


def report(name: str, wholes: list[float], proofs: list[float], nodes: int) -> None:
    whole, proof = median(wholes) * 1000, median(proofs) * 1000
    print(f"{name}: {whole:.2f} ms, proof {proof:.3f} ms, {proof / whole:.3f} of it, {nodes} nodes")


if __name__ == "__main__":
    main()
