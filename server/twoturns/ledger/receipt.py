"""
The receipt of an enrolment: that a device was let in before, in a ledger that was put back since.

A backup that is put back may be older than a device's invitation. The device keeps both records,
its invitation's and its enrolment's, as the workshop proved them when it came in. Under a
checkpoint of the workshop's key they show that this link was used then, by this device: so both
may come back though the invitation is over. A link that nobody used has no such receipt, however
old it is.

Pure: who counts is the roster's.
"""

from dataclasses import dataclass

from twoturns.words import t
from twoturns.words.en.ledger import receipt as words

from . import checkpoint
from .checkpoint import Checkpoint
from .entry import Entry
from .errors import BadCheckpoint, EnrolmentRefused, LedgerError
from .record import parse
from .roster import Roster
from .tree import verify_inclusion_of

_ASK = t(words.BAD_RECEIPT_HINT)


@dataclass(frozen=True, slots=True)
class ProvenRecord:
    """A record, its index, and what leads from it to the root of the receipt's checkpoint."""

    index: int
    record: str
    proof: tuple[bytes, ...]


@dataclass(frozen=True, slots=True)
class Receipt:
    """Invitation and enrolment of one device, each with its proof, and the checkpoint of both."""

    checkpoint: str
    invitation: ProvenRecord
    enrolment: ProvenRecord

    def invitation_of(self, enrolment: Entry, roster: Roster) -> Entry:
        """
        Return the invitation that an enrolment had followed from.

        Whether it counts now is still to be asked: the roster says who may invite.

        Raises:
            EnrolmentRefused: If the receipt does not show both in a ledger of this workshop's.
        """
        head = _head(self.checkpoint, roster)
        shown, invitation = _proven(self.enrolment, head), _proven(self.invitation, head)
        if shown.line != enrolment.line:
            raise _refused(t(words.OTHER_ENROLMENT))
        if invitation.kind != "device.invited" or invitation.id != enrolment.body["invitation"]:
            raise _refused(t(words.OTHER_INVITATION))
        return invitation


def _head(text: str, roster: Roster) -> Checkpoint:
    """
    Return what a checkpoint says, if the workshop key in force signed it.

    No key before it will do, not even for a ledger smaller than the place where it ended: who has
    a stolen one makes a tree of whatever size he likes. A device has a new receipt made when it
    hears of a new key.
    """
    try:
        return checkpoint.open(text, roster.workshop_key or "", roster.workshop)
    except BadCheckpoint as error:
        raise _refused(t(words.CHECKPOINT_NOT_SIGNED)) from error


def _proven(shown: ProvenRecord, head: Checkpoint) -> Entry:
    try:
        record = parse(shown.record)
    except LedgerError as error:
        raise _refused(str(error)) from error
    leaves = {shown.index: record.leaf}
    if not verify_inclusion_of(leaves, head.size, shown.proof, head.root):
        raise _refused(t(words.PROOF_FAILS))
    return record.entry


def _refused(why: str) -> EnrolmentRefused:
    return EnrolmentRefused(t(words.BAD_RECEIPT, why=why), hint=_ASK)
