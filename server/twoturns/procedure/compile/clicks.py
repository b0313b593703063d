"""
The window of a torque that clicks: what a wrench may be off, unless the source states another.

A click is not read, it is set; what an adaptor leads to, and what a wrench was found to deliver
later on, is held against this window.
"""

from __future__ import annotations

from decimal import Decimal

from twoturns.procedure.language.source import Source
from twoturns.trade.torque import deviation


def window_the_clicks(data: Source) -> None:
    """Give each torque reading of a source that states a target alone its low and high."""
    for step in data["steps"]:
        for proof in step["proof"]:
            is_clicked = proof.get("tool") == "torque_wrench" and "target" in proof
            if is_clicked and not proof.keys() & {"low", "high"}:
                target = Decimal(proof["target"])
                off = target * deviation(target)
                proof["low"], proof["high"] = _shown(target - off), _shown(target + off)


def _shown(nm: Decimal) -> str:
    """
    Return a decimal as bundles write it, without zeros at its end.

    >>> _shown(Decimal("129.60")), _shown(Decimal("100.0"))
    ('129.6', '100')
    """
    text = format(nm, "f")
    return text.rstrip("0").rstrip(".") if "." in text else text
