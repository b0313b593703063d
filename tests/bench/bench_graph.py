"""
The walk that proves, against networkx, on all three: a minute or two.

Run by hand: `PYTHONPATH=server:tests:tests/server/procedure python tests/bench/bench_graph.py`.
"""

import time

from test_walk import compare, small_bundle

from demo_procedures import HATCH, ROADSIDE, VAN, bundle_of

if __name__ == "__main__":
    for name in (ROADSIDE, VAN, HATCH):
        began = time.perf_counter()
        states, broken, dead = compare(bundle_of(name), whole=False)
        took = time.perf_counter() - began
        print(f"{name}: {states:,} states, {broken} rules broken, {dead} dead, {took:.0f} s")
    compared = [compare(small_bundle(seed), whole=True) for seed in range(1000, 1300)]
    states, broken, dead = (sum(column) for column in zip(*compared, strict=True))
    print(f"300 random machines: {states:,} states, {broken} rules broken, {dead:,} dead")
