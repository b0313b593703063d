"""A mapping of the `drive:` block, read field by field; each fault with its place."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import Any

from twoturns.ledger.forms import DECIMAL, NAME, is_formed
from twoturns.words import t
from twoturns.words.en.procedure.drive import block as words

Place = tuple[str | int, ...]


class DriveFault(ValueError):
    """Something in the drive block is wrong: `place` leads to it, below `drive`."""

    def __init__(self, place: Place, message: str, *, hint: str, code: str) -> None:
        self.place, self.hint, self.code = place, hint, code
        super().__init__(message)


class Block:
    """One mapping of the source. Every field is asked for by name; what is left over is refused."""

    def __init__(self, data: Any, place: Place = ()) -> None:  # noqa: ANN401 - unchecked source
        if not isinstance(data, Mapping):
            raise DriveFault(
                place, t(words.NOT_MAPPING), hint=t(words.NOT_MAPPING_HINT), code="shape"
            )
        self._data, self.place = data, place
        self._asked: set[str] = set()

    def fault(self, field: str, message: str, hint: str, code: str = "value") -> DriveFault:
        """Return a fault at a field."""
        return DriveFault((*self.place, field), message, hint=hint, code=code)

    def has(self, field: str) -> bool:
        """Say whether a field is there."""
        self._asked.add(field)
        return field in self._data

    def get(self, field: str) -> Any:  # noqa: ANN401 - unchecked source
        """Return what a field holds, which must be there."""
        if not self.has(field):
            raise DriveFault(
                self.place,
                t(words.FIELD_MISSING, field=field),
                hint=t(words.FIELD_MISSING_HINT, field=field),
                code="missing",
            )
        return self._data[field]

    def text(self, field: str) -> str:
        """Return a short text."""
        value = self.get(field)
        if not isinstance(value, str) or not 1 <= len(value) <= 64:
            raise self.fault(
                field, t(words.NOT_SHORT_TEXT, field=field), t(words.NOT_SHORT_TEXT_HINT)
            )
        return value

    def name(self, field: str) -> str:
        """Return a name."""
        value = self.text(field)
        if not is_formed(value, NAME):
            raise self.fault(field, t(words.NOT_NAME, value=value), t(words.NOT_NAME_HINT))
        return value

    def number(self, field: str, *, above: float = -math.inf) -> float:
        """Return a number above another."""
        return read_number(self.get(field), (*self.place, field), above)

    def whole(self, field: str, least: int) -> int:
        """Return a whole number, so large at least."""
        value = self.number(field)
        if value != int(value) or value < least:
            raise self.fault(
                field,
                t(words.NOT_WHOLE_NUMBER, value=f"{value:g}", least=least),
                t(words.NOT_WHOLE_NUMBER_HINT),
            )
        return int(value)

    def point(self, field: str) -> tuple[float, float]:
        """Return two numbers, x and y."""
        value, place = self.get(field), (*self.place, field)
        if not isinstance(value, list) or len(value) != 2:
            raise self.fault(
                field, t(words.NOT_PAIR, field=field), t(words.NOT_PAIR_HINT, field=field)
            )
        x, y = (read_number(part, (*place, index)) for index, part in enumerate(value))
        return x, y

    def items(self, field: str) -> list[Any]:
        """Return a list."""
        value = self.get(field)
        if not isinstance(value, list):
            raise self.fault(
                field, t(words.NOT_LIST, field=field), "Begin each of its lines with '- '."
            )
        return value

    def blocks(self, field: str) -> list[Block]:
        """Return a list of mappings."""
        place = (*self.place, field)
        return [Block(item, (*place, index)) for index, item in enumerate(self.items(field))]

    def block(self, field: str) -> Block:
        """Return a mapping."""
        return Block(self.get(field), (*self.place, field))

    def one_of(self, field: str, choices: Iterable[str]) -> str:
        """Return one of several words."""
        value = self.text(field)
        if value not in choices:
            listed = ", ".join(choices)
            raise self.fault(
                field,
                t(words.UNKNOWN_CHOICE, value=value, listed=listed),
                t(words.UNKNOWN_CHOICE_HINT, listed=listed),
            )
        return value

    def done(self) -> None:
        """Refuse what nobody asked for."""
        for field in self._data:
            if field not in self._asked:
                raise self.fault(
                    field,
                    t(words.UNKNOWN_FIELD, field=field),
                    t(words.UNKNOWN_FIELD_HINT),
                    code="unknown-field",
                )


def read_number(value: object, place: Place, above: float = -math.inf) -> float:
    """Return a decimal above another as a number."""
    if not is_formed(value, DECIMAL) or not math.isfinite(float(value)):
        raise DriveFault(
            place,
            t(words.NOT_NUMBER, value=str(value)),
            hint=t(words.NOT_NUMBER_HINT),
            code="value",
        )
    if float(value) <= above:
        raise DriveFault(
            place,
            t(words.TOO_SMALL, value=value, above=f"{above:g}"),
            hint=t(words.TOO_SMALL_HINT),
            code="value",
        )
    return float(value)
