"""
A table as a CSV file that a spreadsheet opens, whatever people typed into its cells.

RFC 4180: fields by commas, lines by CR LF, a field in quotes where it has a comma, a quote or a
line end, a quote in it doubled. A spreadsheet runs a cell that begins with certain signs as a
formula; an apostrophe in front keeps it a text (OWASP, "CSV Injection": = + - @, tab, CR, LF, and
their full-width forms). A plain number stays a number. The mark of UTF-8 stands first, or a
spreadsheet may take the letters for others: common practice, no source. The twin is
`client/src/work/csv.ts`.
"""

import re
from collections.abc import Iterable, Sequence
from typing import Final

MARK: Final = "\ufeff"
_RUNS: Final = re.compile(r"[=+\-@\t\r\n\uff1d\uff0b\uff0d\uff20]")
_NUMBER: Final = re.compile(r"-?[0-9]+(\.[0-9]+)?")


def csv_text(rows: Iterable[Sequence[str]]) -> str:
    """
    Return the text of a CSV file.

    >>> csv_text([["TBR 0412", "=1+1"], ["a,b", "-9"]]).removeprefix(MARK).splitlines()
    ["TBR 0412,'=1+1", '"a,b",-9']
    """
    return MARK + "".join(",".join(map(_field, row)) + "\r\n" for row in rows)


def _field(cell: str) -> str:
    runs = _RUNS.match(cell) and not _NUMBER.fullmatch(cell)
    text = f"'{cell}" if runs else cell
    if any(sign in text for sign in ',"\r\n'):
        text = '"' + text.replace('"', '""') + '"'
    return text
