"""
What the commands of `twoturns calc` share.

Each prints what it computed, a line a figure with its unit, and what is to be kept in
mind; with `--json` one object whose names carry the units.
"""

import json
import math
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, datetime
from functools import wraps
from typing import Any, Final

import click

from twoturns.cli.parts import now
from twoturns.words import t
from twoturns.words.en.cli.calc import answer as words

_LEAST, _MOST = 1e-9, 1e9  # beyond, no figure of this trade lies, in any of its units
_NUMBER: Final = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?", re.ASCII | re.IGNORECASE)
_BELOW_ZERO: Final = re.compile(r"-\.?\d")


@dataclass
class Answer:
    """What a calculation came to: figures as (name, label, value, unit), and sentences."""

    figures: list[tuple[str, str, Any, str]] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    accepted: bool = True

    def add(self, name: str, label: str, value: object, unit: str = "") -> None:
        self.figures.append((name, label, value, unit))

    def danger(self, says: str) -> None:
        """Say first what may hurt an engine or a person; the command then exits with 1."""
        self.accepted = False
        self.notes.insert(0, says)

    def as_json(self) -> str:
        told = {name: value for name, _, value, _ in self.figures}
        told |= {"ok": self.accepted, "notes": self.notes}
        told["units"] = {name: unit for name, _, _, unit in self.figures if unit}
        return json.dumps(told, ensure_ascii=False, indent=2, default=str)

    def as_text(self) -> str:
        width = max((len(label) for _, label, _, _ in self.figures), default=0)
        lines = [
            f"{label:<{width}}  {shown(value)} {unit}".rstrip()
            for _, label, value, unit in self.figures
        ]
        return "\n".join([*lines, *self.notes])


def shown(value: object) -> str:
    """
    Return a figure for people: four digits that count, and no fewer than stand before the point.

    >>> shown(22.2222), shown(48100), shown(0.3125), shown(None), shown([1.5, 2])
    ('22.22', '48100', '0.3125', '-', '1.5, 2')
    """
    if isinstance(value, list | tuple):
        return ", ".join(map(shown, value)) or "none"
    if not isinstance(value, float):
        return "-" if value is None else str(value)
    places = max(0, 3 - math.floor(math.log10(abs(value)))) if value else 0
    text = f"{value:.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def number(text: str | float) -> float:
    """Take a number off the command line: see `figure`."""
    try:
        return figure(str(text))
    except ValueError as error:
        raise click.BadParameter(f"{error}.") from error


def count(text: str | int) -> int:
    """Take a whole number off the command line: see `whole`."""
    try:
        return whole(str(text))
    except ValueError as error:
        raise click.BadParameter(f"{error}.") from error


class _Calculation(click.Command):
    """A command whose arguments may be below zero."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        ctx.ignore_unknown_options = any(map(_BELOW_ZERO.match, args))
        return super().parse_args(ctx, args)


@click.group()
def calc() -> None:
    """The numbers of the trade: torque, belts, tension, coolant, intervals, numbers on labels."""


def calculation(name: str) -> Callable[[Callable[..., Answer]], Callable[..., Answer]]:
    """Make a command of a function: figures printed, impossible ones refused, exit 1 if unfit."""

    def made(compute: Callable[..., Answer]) -> Callable[..., Answer]:
        @calc.command(name, cls=_Calculation)
        @click.option("--json", "as_json", is_flag=True, help="One JSON object, for programs.")
        @wraps(compute)
        def told(*, as_json: bool, **typed: object) -> None:
            try:
                answer = _finite(compute, typed)
            except ValueError as error:
                hint = getattr(error, "hint", t(words.SEE_HELP, name=name))
                raise click.ClickException(f"{error}.\n{hint}") from error
            click.echo(answer.as_json() if as_json else answer.as_text())
            if not answer.accepted:
                raise click.exceptions.Exit(1)

        return compute

    return made


def _finite(compute: Callable[..., Answer], typed: dict[str, object]) -> Answer:
    """Give no figure that is none: JSON has no word for it."""
    try:
        answer = compute(**typed)
    except ArithmeticError as error:
        raise ValueError(_TOO_FAR) from error
    figures = [value for _, _, value, _ in answer.figures if isinstance(value, float)]
    if not all(map(math.isfinite, figures)):
        raise ValueError(_TOO_FAR)
    return answer


_TOO_FAR: Final = t(words.FIGURES_OUT_OF_RANGE)


def day_of(text: str | None) -> date:
    """Return a day, today if there is none."""
    if text is None:
        return now().date()
    try:
        return datetime.strptime(text, "%Y-%m-%d").date()  # noqa: DTZ007 - a day has no zone
    except ValueError as error:
        raise ValueError(t(words.NOT_A_DAY, text=f"{text!r}")) from error


def figure(text: str) -> float:
    """
    Return a number as it was typed: with a point, and digits that everybody reads alike.

    >>> figure("-40.5"), figure("2e3")
    (-40.5, 2000.0)
    """
    if _NUMBER.fullmatch(text) is None:
        raise ValueError(t(words.NOT_A_NUMBER, text=f"{text!r}"))
    number = float(text)
    if number and not _LEAST <= abs(number) <= _MOST:
        raise ValueError(t(words.NUMBER_OUT_OF_RANGE, text=f"{text!r}"))
    return number


def whole(text: str) -> int:
    """Return a number that counts something, as it was typed."""
    if re.fullmatch(r"[+-]?\d{1,10}", text, re.ASCII) is None or abs(int(text)) > _MOST:
        raise ValueError(t(words.NOT_A_WHOLE_NUMBER, text=f"{text!r}"))
    return int(text)
