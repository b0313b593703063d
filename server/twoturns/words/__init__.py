"""What a person reads: the sentences (`en/`), and how they take arguments (`message`)."""

from .message import MessageError, t

__all__ = ["MessageError", "t"]
