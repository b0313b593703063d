"""
Who may write what: the fold of a workshop's statements in ledger order.

A statement counts when its key had, at its place in the ledger, the role to make it. Nothing
depends on a clock, but for one thing: whether an invitation was over when an enrolment arrived
(`check_enrolment`), and that is asked once, at the door. Later folds go by the ledger alone.

The workshop key hands over to the next one (`workshop.keyed`); under the first edition of the rules
an owner's device might, too. The recovery key, which is on paper, beats both. A *recovery* names
the size of the ledger that is trusted; the fold is then made anew, and in it nothing that a
workshop key stated from that place up to the recovery counts. A device that came in by such a
statement stays known by its key, since records are signed with it, and never had a right.

A statement from a revoked device does not count, and accepting it later (`work.accepted`) does
not make it count: the owner makes it anew.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Final

from twoturns.words import t
from twoturns.words.en.ledger import roster as words

from . import base64url, canonical, entry, keys
from .bodies import may_write
from .entry import CONSOLE, Entry
from .errors import EnrolmentRefused, LedgerError
from .instants import instant
from .persons import Persons

_ASK_AGAIN = t(words.ASK_NEW_INVITATION)
_NEW_KEY = t(words.MAKE_NEW_KEY)


@dataclass(frozen=True, slots=True)
class Device:
    """A key and its role. `person` is a person's id, or "console" for a workshop key."""

    key: str
    role: str
    person: str
    enrolled_at: int
    revoked_at: int | None = None
    scope: Mapping[str, Any] | None = field(default=None, hash=False)  # of an auditor's

    @property
    def thumbprint(self) -> str:
        """The device's name."""
        return keys.thumbprint(self.key)

    @property
    def is_void(self) -> bool:
        """Say whether a recovery undid the device: it is known by its key, and had no right."""
        return self.revoked_at is not None and self.revoked_at < self.enrolled_at

    def was_in(self, index: int) -> bool:
        """Say whether the key was enrolled, and not revoked, at a place in the ledger."""
        return self.enrolled_at <= index and (self.revoked_at is None or index <= self.revoked_at)


@dataclass(frozen=True, slots=True)
class Invited:
    """An invitation, and the device that came in on it."""

    key: str
    role: str
    person: str
    until: str
    scope: Mapping[str, Any] | None = field(default=None, hash=False)
    used_by: str | None = None


@dataclass(frozen=True, slots=True)
class Commitment:
    """A recovery key that counts, by its thumbprint, and where it was committed to."""

    recovery: str
    index: int


@dataclass(frozen=True, slots=True)
class Recovery:
    """A recovery that counts: its place, and how much of the ledger before it is trusted."""

    index: int
    size: int
    root: str


@dataclass(frozen=True, slots=True)
class Invitation:
    """What an invitation's link carries. `secret` is the seed of the invitation's key."""

    workshop: str
    key: str
    invitation: str
    role: str
    person: str
    secret: bytes


MOST_REMEMBERED = 1_000  # answers to who may write what, for as many persons as entries name


class Roster:
    """Keys, roles and invitations as a ledger's statements made them so far."""

    def __init__(self, workshop: str) -> None:
        self.workshop = workshop
        self._taken: list[tuple[int, Entry]] = []
        self._rights: dict[tuple[str, str, str], bool] = {}  # after all that was taken
        self._begin_anew()

    def _begin_anew(self) -> None:
        self.workshop_key: str | None = None  # the current one
        self.commitments: list[Commitment] = []  # the last one is in force
        self.recoveries: list[Recovery] = []
        self._devices: dict[str, Device] = {}
        self._invitations: dict[str, Invited] = {}
        self._began: list[tuple[int, int]] = []  # index and edition, both rising
        self._persons = Persons()

    def apply(self, index: int, statement: Entry) -> None:
        """
        Take in the entry at a place in the ledger. Entries of other kinds change nothing.

        Places come in their order, and each is taken once: a fold that was made before, and knows
        of a recovery, may be led through the ledger again.
        """
        is_one = statement.workshop == self.workshop and statement.kind in _STATEMENTS
        if is_one and not (self._taken and index <= self._taken[-1][0]):
            self._take(index, statement)
            self._taken.append((index, statement))
            self._rights.clear()

    def _take(self, index: int, statement: Entry) -> None:
        _STATEMENTS[statement.kind](self, index, statement)

    def edition_at(self, index: int) -> int:
        """
        Return the edition of the rules that hold for the entry at a place in the ledger.

        A workshop begins with one (`edition` of its first record), or is of the first; a
        `rules.began` of the console's holds from its own place on. What stood before counts as it
        did.
        """
        for at, edition in reversed(self._began):
            if at <= index:
                return edition
        return 1

    def device(self, thumbprint: str) -> Device | None:
        """Return the device of this name, also when it is revoked."""
        return self._devices.get(thumbprint)

    def devices(self) -> list[Device]:
        """Return every key that was ever enrolled, in the order of the ledger."""
        return sorted(self._devices.values(), key=lambda device: device.enrolled_at)

    def workshop_keys(self) -> list[str]:
        """Return the workshop keys that counted, the current one last."""
        return [one.key for one in self.devices() if one.role == CONSOLE and not one.is_void]

    def invitation(self, invitation_id: str) -> Invited | None:
        """Return an invitation that counts."""
        return self._invitations.get(invitation_id)

    def has_right(self, any_entry: Entry, index: int) -> bool:
        """Say whether its device might write an entry, at its place in the ledger."""
        if not self._taken or index <= self._taken[-1][0]:
            return self._had_right(any_entry, index)
        # Nothing has changed since: what holds here holds for all of its kind that follow.
        asked = (any_entry.device, any_entry.wire_kind, any_entry.person)
        if asked not in self._rights:
            if len(self._rights) >= MOST_REMEMBERED:
                self._rights.clear()
            self._rights[asked] = self._had_right(any_entry, index)
        return self._rights[asked]

    def _had_right(self, any_entry: Entry, index: int) -> bool:
        device = self._devices.get(any_entry.device)
        return (
            device is not None
            and device.was_in(index)
            and may_write(device.role, any_entry.wire_kind, self.edition_at(index))
            and (any_entry.person == CONSOLE) == (device.role == CONSOLE)
            and (self.edition_at(index) < 2 or self.speaks_for(device, any_entry.person, index))
        )

    def speaks_for(self, device: Device, person: str, index: int) -> bool:
        """Say whether an owner let a device speak for a person, at a place in the ledger."""
        return person == device.person or person in self.admitted_on(device, index)

    def admitted_on(self, device: Device, index: int) -> list[str]:
        """Return for whom a device speaks besides its own person, at a place in the ledger."""
        if device.role == CONSOLE:
            return []
        return self._persons.admitted(device.thumbprint, device.role, index)

    def may_write(self, device: Device | str, kind: str) -> bool:
        """Say whether the device's role allows a kind. A device nobody enrolled may nothing."""
        known = self._devices.get(device) if isinstance(device, str) else device
        return known is not None and may_write(known.role, kind)

    def key_of(self, any_entry: Entry) -> str | None:
        """
        Return the key to verify an entry with: of its device, or the one it brings itself.

        Only an enrolment and a workshop key bring their own; whether they count is for `apply`.
        """
        known = self._devices.get(any_entry.device)
        if known:
            return known.key
        brings = any_entry.kind in ("workshop.keyed", "device.enrolled")
        return any_entry.body["key"] if brings else None

    def check_enrolment(self, enrolment: Entry, now_at: str | None) -> Invited:
        """
        Return the invitation an enrolment follows from, if it may enter the ledger now.

        Args:
            enrolment: A `device.enrolled`.
            now_at: The receiver's time, as an `at`; None if it came in time before (`receipt`).

        Raises:
            EnrolmentRefused: Saying which condition is not met.
        """
        invited = self._follows(enrolment)
        if now_at is not None and now_at >= invited.until:
            raise EnrolmentRefused(
                t(words.INVITATION_OVER, until=instant(invited.until)), hint=_ASK_AGAIN
            )
        return invited

    def _follows(self, enrolment: Entry) -> Invited:
        """Check everything but the time."""
        body = enrolment.body
        invited = self._invitations.get(body["invitation"])
        message = keys.enrolment_message(
            device=enrolment.device, invitation=body["invitation"], workshop=self.workshop
        )
        if enrolment.workshop != self.workshop:
            raise EnrolmentRefused(t(words.OTHER_WORKSHOP), hint=_ASK_AGAIN)
        if invited is None:
            raise EnrolmentRefused(t(words.NO_SUCH_INVITATION), hint=_ASK_AGAIN)
        if invited.used_by is not None:
            raise EnrolmentRefused(t(words.INVITATION_USED), hint=_ASK_AGAIN)
        if enrolment.person != invited.person:
            raise EnrolmentRefused(t(words.OTHER_PERSON), hint=_ASK_AGAIN)
        if not _signed(invited.key, message, body["countersign"]):
            fact = t(words.INVITATION_DID_NOT_SIGN)
            raise EnrolmentRefused(fact, hint=_ASK_AGAIN)
        if not entry.verify(enrolment, body["key"]):
            fact = t(words.DEVICE_DID_NOT_SIGN)
            raise EnrolmentRefused(fact, hint=_NEW_KEY)
        if enrolment.device in self._devices:
            raise EnrolmentRefused(t(words.ENROLLED_ALREADY), hint=_NEW_KEY)
        return invited

    def _counts(self, index: int, statement: Entry) -> bool:
        writer = self._devices.get(statement.device)
        return (
            writer is not None
            and self.has_right(statement, index)
            and entry.verify(statement, writer.key)
        )

    def _keyed(self, index: int, statement: Entry) -> None:
        body = statement.body
        if keys.thumbprint(body["key"]) in self._devices or not entry.verify(
            statement, body["key"]
        ):
            return
        if self.workshop_key is None:
            self._key_first(index, statement)
        elif "recovered" in body:
            if self._recovers(statement):
                self._recover(index, statement)
        elif self._hands_over(index, statement):
            self._close_keys(index)
            self._open_key(index, body["key"])

    def _key_first(self, index: int, statement: Entry) -> None:
        body = statement.body
        if keys.thumbprint(body["key"]) == self.workshop:
            self._open_key(index, body["key"])
            self._begin(index, body.get("edition", 1))
            if "recovery" in body:
                self.commitments.append(Commitment(body["recovery"], index))

    def _open_key(self, index: int, key: str) -> None:
        self._devices[keys.thumbprint(key)] = Device(key, CONSOLE, CONSOLE, index)
        self.workshop_key = key

    def _close_keys(self, index: int) -> None:
        for thumbprint, device in self._devices.items():
            if device.role == CONSOLE and device.revoked_at is None:
                self._devices[thumbprint] = replace(device, revoked_at=index)

    def _rules_began(self, index: int, statement: Entry) -> None:
        if self._counts(index, statement):
            self._begin(index, statement.body["edition"])

    def _begin(self, index: int, edition: int) -> None:
        if edition > self.edition_at(index):
            self._began.append((index, edition))

    def _hands_over(self, index: int, statement: Entry) -> bool:
        """Say whether the workshop key before signed for the new one (edition 1: or an owner's)."""
        signed_by = statement.body.get("signed_by")
        if signed_by is None:
            return False
        before = self._devices.get(keys.thumbprint(signed_by["key"]))
        message = keys.succession_message(key=statement.body["key"], workshop=self.workshop)
        may = (CONSOLE, "owner") if self.edition_at(index) < 2 else (CONSOLE,)
        return (
            before is not None
            and before.role in may
            and before.was_in(index)
            and _signed(before.key, message, signed_by["signature"])
        )

    def _recovers(self, statement: Entry) -> bool:
        """
        Say whether the recovery key in force signed for the new key, and commits to the next one.

        What is trusted reaches beyond the commitment: else the recovery would undo its own ground.
        """
        body, said = statement.body, statement.body["recovered"]
        if not self.commitments or "recovery" not in body:
            return False
        message = keys.recovery_message(
            key=body["key"],
            recovery=body["recovery"],
            root=said["root"],
            size=said["size"],
            workshop=self.workshop,
        )
        return (
            keys.thumbprint(said["key"]) == self.commitments[-1].recovery != body["recovery"]
            and said["size"] > self.commitments[-1].index
            and _signed(said["key"], message, said["signature"])
        )

    def _recover(self, index: int, statement: Entry) -> None:
        """Make the fold anew, without what workshop keys stated in what is not trusted."""
        said, before = statement.body["recovered"], self._devices
        # It may be taken anew itself, by a later recovery: what came after it is not its concern.
        taken = [(at, one) for at, one in self._taken if at < index]
        self._begin_anew()
        for at, one in taken:
            if at < said["size"]:
                self._take(at, one)
        self._close_keys(min(said["size"] - 1, index))
        for at, one in taken:
            if at >= said["size"] and one.kind != "workshop.keyed":
                self._take(at, one)
        for name, device in before.items():
            self._devices.setdefault(name, replace(device, revoked_at=device.enrolled_at - 1))
        self._open_key(index, statement.body["key"])
        self.commitments.append(Commitment(statement.body["recovery"], index))
        self.recoveries.append(Recovery(index, said["size"], said["root"]))

    def _committed(self, index: int, statement: Entry) -> None:
        """
        Commit to a recovery key: the console does it once; from then on the paper decides.

        Else whoever stole the workshop key could commit to a paper of his own, and recover with it
        for ever.
        """
        if not self._counts(index, statement):
            return
        recovery, signed_by = statement.body["recovery"], statement.body.get("signed_by")
        if self.commitments and not (
            signed_by is not None
            and keys.thumbprint(signed_by["key"]) == self.commitments[-1].recovery != recovery
            and _signed(
                signed_by["key"],
                keys.commitment_message(recovery=recovery, workshop=self.workshop),
                signed_by["signature"],
            )
        ):
            return
        self.commitments.append(Commitment(recovery, index))

    def _invited(self, index: int, statement: Entry) -> None:
        if self._counts(index, statement):
            # Told a second time it is no other invitation: one that was used stays so.
            body = statement.body
            self._invitations.setdefault(statement.id, Invited(**body))
            self._persons.invite(index, body["person"], body["role"])

    def _serves(self, index: int, statement: Entry) -> None:
        if self._counts(index, statement):
            self._persons.serve(index, statement.body["device"], tuple(statement.body["persons"]))

    def _enrolled(self, index: int, statement: Entry) -> None:
        try:
            invited = self._follows(statement)
        except EnrolmentRefused:
            return  # it stands in the ledger and lets nobody in; `check_enrolment` says why
        self._devices[statement.device] = Device(
            statement.body["key"], invited.role, invited.person, index, scope=invited.scope
        )
        invitation = statement.body["invitation"]
        self._invitations[invitation] = replace(invited, used_by=statement.device)

    def _revoked(self, index: int, statement: Entry) -> None:
        name = statement.body["device"]
        device = self._devices.get(name)
        # A workshop key is not revoked but succeeded: a workshop always has one.
        if device is None or device.role == CONSOLE or device.revoked_at is not None:
            return
        if self._counts(index, statement):
            self._devices[name] = replace(device, revoked_at=index)


_STATEMENTS: Final[Mapping[str, Callable[[Roster, int, Entry], None]]] = {
    "workshop.keyed": Roster._keyed,
    "recovery.committed": Roster._committed,
    "rules.began": Roster._rules_began,
    "device.invited": Roster._invited,
    "device.enrolled": Roster._enrolled,
    "device.revoked": Roster._revoked,
    "device.serves": Roster._serves,
}
ROSTER_KINDS: Final = tuple(_STATEMENTS)


def invitation_text(invitation: Invitation) -> str:
    """Return what stands behind `#invite=` in an invitation's link."""
    said = {
        "invitation": invitation.invitation,
        "key": invitation.key,
        "person": invitation.person,
        "role": invitation.role,
        "secret": base64url.encode(invitation.secret),
        "v": 1,
        "workshop": invitation.workshop,
    }
    return base64url.encode(canonical.dumps(said))


def _signed(key: str, message: bytes, signature: str) -> bool:
    try:
        return keys.verify(key, message, base64url.decode(signature, keys.SIGNATURE_BYTES))
    except LedgerError:
        return False
