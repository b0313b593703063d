"""
What this room refuses, and why.

    LedgerError
    ├── NotCanonical       the bytes are not the canonical JSON of any value
    ├── BadKey             a key, a signature or other base64url text has the wrong form
    ├── BadPrivateValue    a private value's blob does not have its form
    ├── BadBody            a body does not say what its kind must say
    ├── BadEntry           a line is not an entry
    ├── TooLarge           a line, or a private value, is over its limit
    ├── EnrolmentRefused   an enrolment does not follow from an invitation
    ├── BadRecord          a text is not a record
    ├── BadProof           a Merkle proof was asked for that no tree has
    └── BadCheckpoint      a text is not a checkpoint signed by the key we trust
"""

from typing import ClassVar


class LedgerError(Exception):
    """Something is not evidence as it stands. The text is the fact, `hint` what to do."""

    code: ClassVar[str] = "ledger"

    def __init__(self, fact: str, *, hint: str) -> None:
        self.hint = hint
        super().__init__(fact)


class NotCanonical(LedgerError):
    """The bytes are not the canonical JSON of any value."""

    code = "not-canonical"


class BadKey(LedgerError):
    """A key, a signature or other base64url text has the wrong form."""

    code = "bad-key"


class BadPrivateValue(LedgerError):
    """A private value's blob does not have its form."""

    code = "bad-private-value"


class BadBody(LedgerError):
    """A body does not say what its kind must say."""

    code = "bad-body"


class BadEntry(LedgerError):
    """A line is not an entry."""

    code = "bad-entry"


class TooLarge(LedgerError):
    """A line, or a private value, is over its limit."""

    code = "too-large"


class EnrolmentRefused(LedgerError):
    """An enrolment does not follow from an invitation."""

    code = "enrolment-refused"


class BadRecord(LedgerError):
    """A text is not a record."""

    code = "bad-record"


class BadProof(LedgerError):
    """A Merkle proof was asked for that no tree has."""

    code = "bad-proof"


class BadCheckpoint(LedgerError):
    """A text is not a checkpoint signed by the key we trust."""

    code = "bad-checkpoint"
