"""
The rule by which jobs are drawn out of a frozen population: anybody can draw them again.

    seed = SHA-256(root of the ledger at the freeze, 32 bytes || the auditor's word, UTF-8)
    place of a job = SHA-256(seed || the job's id, 36 ASCII characters), as hex

The jobs with the lowest places are the sample. Who keeps the ledger fixes the root before the word
is given, and so cannot choose. That the auditor tried no words before he gave one is not shown.

Source: the order of the steps (list, freeze, then what nobody could know) is that of RFC 3797,
sections 3 and 4; to rank by a hash of seed and id, without replacement, is R. Rivest, "Consistent
Sampling with Replacement" (arXiv 1808.10016), section 4, of which the first ticket of each is used.
"""

import hashlib
from collections.abc import Iterable


def seed_of(root: bytes, word: str) -> bytes:
    """Return the seed of a draw: 32 bytes."""
    return hashlib.sha256(root + word.encode()).digest()


def place_of(seed: bytes, job: str) -> str:
    """Return where a job stands in a draw: 64 hex digits, the lowest is drawn first."""
    return hashlib.sha256(seed + job.encode()).hexdigest()


def draw(jobs: Iterable[str], root: bytes, word: str, count: int) -> list[str]:
    """
    Return the jobs that are drawn, in the order in which they are: all, if there are fewer.

    Args:
        jobs: The population; the order is of no matter.
        root: Of the ledger at the freeze, 32 bytes.
        word: The auditor's, as it was stated.
        count: How many.
    """
    seed = seed_of(root, word)
    return sorted(set(jobs), key=lambda job: place_of(seed, job))[:count]
