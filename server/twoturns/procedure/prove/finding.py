"""One thing that proving a procedure found."""

from __future__ import annotations

from dataclasses import asdict, dataclass

from twoturns.procedure.errors import Place


@dataclass(frozen=True)
class Finding:
    """
    One fault of a procedure, or a note that is none.

    Args:
        code: Stable name of this kind.
        message: The fact.
        hint: What to do about it.
        rule: The house rule concerned.
        place: Where in the source the step, the rule or the part concerned stands, and in the
            block that brought it.
        way: A shortest way there in the names of steps: `step`, `step: failure`.
        sequence: The same in words.
    """

    code: str
    message: str
    hint: str
    rule: str | None = None
    place: Place | None = None
    way: tuple[str, ...] = ()
    sequence: tuple[str, ...] = ()

    @property
    def line(self) -> int | None:
        """The line of the procedure."""
        return None if self.place is None else self.place.line

    def as_json(self) -> dict[str, object]:
        """Return it as programs read it: plain data."""
        return {
            "code": self.code,
            "rule": self.rule,
            "line": self.line,
            **self._block(),
            "says": self.message,
            "sequence": list(self.sequence),
        }

    def _block(self) -> dict[str, object]:
        if self.place is None or self.place.block is None:
            return {}
        return {"block": asdict(self.place.block)}
