"""What a file is, by its first bytes."""

import pytest
from PIL import Image

from ledger_vectors import vectors
from photos import photo
from twoturns.trade.media import HEAD_BYTES, media_type

VECTORS = vectors("media_types")


@pytest.mark.parametrize("case", VECTORS["cases"], ids=lambda case: case["name"])
def test_the_first_bytes_say_what_a_file_is(case):
    assert media_type(bytes.fromhex(case["hex"])) == case["type"]


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_what_pillow_writes_is_known_by_the_name_that_pillow_gives_it(kind):
    """Pillow is another's reading of the same standards."""
    assert media_type(photo(kind=kind)[:HEAD_BYTES]) == Image.MIME[kind]
