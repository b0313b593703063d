"""An instant is one text: shared vectors, of which two are RFC 3339's own examples."""

import pytest

from ledger_vectors import vectors
from twoturns.ledger.instants import instant

VECTORS = vectors("instants")


@pytest.mark.parametrize(("at", "says"), [row[:2] for row in VECTORS["instants"]])
def test_an_instant_is_told_as_the_vectors_say(at, says):
    assert instant(at) == says
