"""
What reading and compiling a procedure can refuse.

    ProcedureError
    ├── SourceErrors    the source cannot be compiled; holds every SourceError found
    └── BundleError     a compiled bundle does not have the form of a bundle
        └── NewerForm   only a newer program knows its form

SourceError is not raised: it is one fault, at its line and column, and a reader finds them all.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from difflib import get_close_matches

from twoturns.words import t
from twoturns.words.en.procedure import errors as words

# So many known words are told: every action that a rule speaks of fits.
MOST_NAMED = 40


class ProcedureError(Exception):
    """A procedure or bundle that is refused."""

    code = "procedure"

    def __init__(self, message: str, *, hint: str, code: str | None = None) -> None:
        self.hint = hint
        if code is not None:
            self.code = code
        super().__init__(message)


@dataclass(frozen=True, order=True)
class BlockLine:
    """Where something stands in the file of the block that brought it."""

    block: str
    line: int

    def __str__(self) -> str:
        return t(words.BLOCK_LINE, block=self.block, line=self.line)


@dataclass(frozen=True)
class Place:
    """A line of a procedure; `block`: the line of the block that brought what stands there."""

    line: int
    block: BlockLine | None = None


@dataclass(frozen=True, order=True)
class SourceError:
    """
    One fault of a source, at its place.

    Args:
        line: Counted from 1.
        column: Counted from 1, in characters.
        message: The fact.
        hint: What to do about it.
        code: Stable name of this kind of fault.
        block: Where it stands in the block that brought it; line and column are then those of
            the place where the procedure chose the block, listed its step or filled in a figure.
    """

    line: int
    column: int
    message: str
    hint: str
    code: str
    block: BlockLine | None = field(default=None, compare=False)

    def __str__(self) -> str:
        where = "" if self.block is None else f" ({self.block})"
        return f"line {self.line}, column {self.column}{where}: {self.message}"


class SourceErrors(ProcedureError):
    """Everything that is wrong with a source, in the order of its lines."""

    code = "source"

    def __init__(self, problems: Iterable[SourceError]) -> None:
        self.problems = sorted(problems)
        count = len(self.problems)
        super().__init__(
            "\n".join(str(problem) for problem in self.problems),
            hint=t(words.MEND_ONE_HINT) if count == 1 else t(words.MEND_SEVERAL_HINT, count=count),
        )


class BundleError(ProcedureError):
    """A compiled bundle that does not have the form of a bundle."""

    code = "bundle"


class NewerForm(BundleError):
    """A bundle that only a newer program can work by. It is kept and passed on, and not judged."""

    code = "bundle-newer"

    def __init__(self, what: str) -> None:
        super().__init__(
            t(words.UNKNOWN_FORM, what=what),
            hint="Update the program.",
        )


def nearest(name: str, known: Iterable[str]) -> str:
    """Return a hint that names what was probably meant, or everything that is known."""
    names = sorted(set(known))
    close = get_close_matches(name, names, n=1, cutoff=0.6)
    if close:
        return t(words.PERHAPS_MEANT, close=close[0])
    if not names:
        return t(words.NONE_NAMED)
    said = ", ".join(names[:MOST_NAMED])
    return t(words.KNOWN_NAMES, names=said, more=len(names) > MOST_NAMED)
