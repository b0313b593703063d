"""One thing that proving a procedure found."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Finding:
    """
    One fault of a procedure, or a note that is none.

    Args:
        code: Stable name of this kind.
        message: The fact.
        hint: What to do about it.
        rule: The house rule concerned.
        line: Line of the source where the step, the rule or the part concerned stands.
        way: A shortest way there in the names of steps: `step`, `step: failure`.
        sequence: The same in words.
    """

    code: str
    message: str
    hint: str
    rule: str | None = None
    line: int | None = None
    way: tuple[str, ...] = ()
    sequence: tuple[str, ...] = ()

    def as_json(self) -> dict[str, object]:
        """Return it as programs read it: plain data."""
        return {
            "code": self.code,
            "rule": self.rule,
            "line": self.line,
            "says": self.message,
            "sequence": list(self.sequence),
        }
