"""
Every step of the demo procedures taken out, and moved to every other place: what objects.

Run by hand, a quarter of an hour: `PYTHONPATH=server:tests python tests/bench/bench_mutations.py`.

Prints the share that is rejected and by what, the moves that are proved with their reasons, and any
move that is proved and has none, or has one and is rejected: of those there must be no line.
"""

import time
from collections import Counter

from demo_procedures import HATCH, ROADSIDE, VAN
from mutants import ALLOWED, Mutants, is_allowed, mutants_of


def main() -> None:
    for name in (VAN, HATCH, ROADSIDE):
        began = time.perf_counter()
        mutants = mutants_of(name)
        deleted = Counter(mutants.objection(steps) for _, steps in mutants.deletions())
        moved: Counter[str | None] = Counter()
        free: Counter[str] = Counter()
        for step, to, steps in mutants.moves():
            objection = mutants.objection(steps)
            moved[objection] += 1
            free[step] += objection is None
            if (objection is None) != is_allowed(name, step, to):
                print(f"  NOT AS LISTED: {step} to {to}: {objection or 'proved'}")
        took = time.perf_counter() - began
        print(f"{name} ({took:.0f} s)")
        for what, counts in (("deletions", deleted), ("moves", moved)):
            total, proved = counts.total(), counts.pop(None, 0)
            share = f"{total - proved:,} of {total:,} {what} rejected"
            print(f"  {share} ({(total - proved) / total:.1%}): {dict(counts.most_common())}")
        without = Mutants(name, one_phase=True)
        alone = [without.objection(steps) for _, _, steps in without.moves()]
        rejected = len(alone) - alone.count(None)
        print(f"  {rejected:,} of {len(alone):,} without a look at the phases")
        for step, (_, reason) in ALLOWED[name].items():
            print(f"  {step}, {free[step]} places: {reason}")


if __name__ == "__main__":
    main()
