"""
`Two-Turns-Reads: EDITION`: the newest edition of kinds and fields that the asking app can read.

An app that says none is of the first edition, and throws away a page with a record that it cannot
read. From the second on an app keeps what it does not know.
"""

import re

from flask import request

from twoturns.web.problems import Refused
from twoturns.words import t
from twoturns.words.en.web import reads as words

HEADER = "Two-Turns-Reads"


def edition_read() -> int:
    """
    Return the edition of the asking app.

    Raises:
        Refused: `bad-header`.
    """
    said = request.headers.get(HEADER, "1")
    if not re.fullmatch(r"[1-9][0-9]{0,5}", said):
        raise Refused("bad-header", t(words.NOT_POSITIVE, header=HEADER), where=HEADER)
    return int(said)
