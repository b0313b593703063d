"""`twoturns procedure`: for the author of a procedure, a module a command."""

from twoturns.cli.procedure.group import procedure

__all__ = ["procedure"]
