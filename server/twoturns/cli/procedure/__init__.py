"""`twoturns procedure`: for the author of a procedure, a module a command."""

from twoturns.cli.procedure import blocks, check, diff, new, preview, publish
from twoturns.cli.procedure.group import procedure

__all__ = ["blocks", "check", "diff", "new", "preview", "procedure", "publish"]
