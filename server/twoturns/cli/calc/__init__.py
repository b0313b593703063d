"""`twoturns calc`: the numbers of the trade, for whoever writes a procedure."""

from twoturns.cli.calc import belts, bolts, labels, service
from twoturns.cli.calc.answer import calc

__all__ = ["belts", "bolts", "calc", "labels", "service"]
