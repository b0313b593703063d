"""
Who may write what: the fold of a workshop's statements in ledger order.

A statement counts when its key had, at its place in the ledger, the role to make it. Nothing
depends on a clock, but for one thing: whether an invitation was over when an enrolment arrived
(`check_enrolment`), and that is asked once, at the door. Later folds go by the ledger alone.

A statement from a revoked device does not count, and accepting it later (`work.accepted`) does
not make it count: the owner makes it anew.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

from . import base64url, canonical, entry, fields, keys
from .bodies import ROLES, may_write
from .entry import CONSOLE, Entry
from .errors import BadInvitation, EnrolmentRefused, LedgerError

_ASK_AGAIN = "Ask the owner for a new invitation."
_NEW_KEY = "Make a new key on the device, and enrol that."


@dataclass(frozen=True, slots=True)
class Device:
    """A key and its role. `person` is a person's id, or "console" for a workshop key."""

    key: str
    role: str
    person: str
    enrolled_at: int
    revoked_at: int | None = None

    @property
    def thumbprint(self) -> str:
        """The device's name."""
        return keys.thumbprint(self.key)

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
    used_by: str | None = None


@dataclass(frozen=True, slots=True)
class Invitation:
    """What an invitation's link carries. `secret` is the seed of the invitation's key."""

    workshop: str
    key: str
    invitation: str
    role: str
    person: str
    secret: bytes


class Roster:
    """Keys, roles and invitations as a ledger's statements made them so far."""

    def __init__(self, workshop: str) -> None:
        self.workshop = workshop
        self.workshop_key: str | None = None  # the current one
        self._devices: dict[str, Device] = {}
        self._invitations: dict[str, Invited] = {}
        self._began: list[tuple[int, int]] = []  # index and edition, both rising
        self._statements: dict[str, Callable[[int, Entry], None]] = {
            "workshop.keyed": self._keyed,
            "device.invited": self._invited,
            "device.enrolled": self._enrolled,
            "device.revoked": self._revoked,
            "rules.began": self._rules_began,
        }

    def apply(self, index: int, statement: Entry) -> None:
        """Take in the entry at a place in the ledger. Entries of other kinds change nothing."""
        if statement.workshop == self.workshop and statement.kind in self._statements:
            self._statements[statement.kind](index, statement)

    def edition_at(self, index: int) -> int:
        """
        Return the edition of the rules that hold for the entry at a place in the ledger.

        A workshop begins with one (`edition` of its first record), or is of the first; a
        `rules.began` of the console's holds from its own place on. What stood before counts as it
        did.
        """
        return next((edition for at, edition in reversed(self._began) if at <= index), 1)

    def device(self, thumbprint: str) -> Device | None:
        """Return the device of this name, also when it is revoked."""
        return self._devices.get(thumbprint)

    def devices(self) -> list[Device]:
        """Return every key that was ever enrolled, in the order of the ledger."""
        return list(self._devices.values())

    def invitation(self, invitation_id: str) -> Invited | None:
        """Return an invitation that counts."""
        return self._invitations.get(invitation_id)

    def has_right(self, any_entry: Entry, index: int) -> bool:
        """Say whether its device might write an entry, at its place in the ledger."""
        device = self._devices.get(any_entry.device)
        return (
            device is not None
            and device.was_in(index)
            and may_write(device.role, any_entry.wire_kind, self.edition_at(index))
            and (any_entry.person == CONSOLE) == (device.role == CONSOLE)
        )

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

    def check_enrolment(self, enrolment: Entry, now_at: str) -> Invited:
        """
        Return the invitation an enrolment follows from, if it may enter the ledger now.

        Args:
            enrolment: A `device.enrolled`.
            now_at: The receiver's time, as an `at`.

        Raises:
            EnrolmentRefused: Saying which condition is not met.
        """
        invited = self._follows(enrolment)
        if now_at >= invited.until:
            raise EnrolmentRefused(f"the invitation was over at {invited.until}", hint=_ASK_AGAIN)
        return invited

    def _follows(self, enrolment: Entry) -> Invited:
        """Check everything but the time."""
        body = enrolment.body
        invited = self._invitations.get(body["invitation"])
        message = keys.enrolment_message(
            device=enrolment.device, invitation=body["invitation"], workshop=self.workshop
        )
        if enrolment.workshop != self.workshop:
            raise EnrolmentRefused("the enrolment names another workshop", hint=_ASK_AGAIN)
        if invited is None:
            raise EnrolmentRefused("no invitation of this id counts", hint=_ASK_AGAIN)
        if invited.used_by is not None:
            raise EnrolmentRefused("a device came in on this invitation before", hint=_ASK_AGAIN)
        if enrolment.person != invited.person:
            raise EnrolmentRefused("the invitation is for another person", hint=_ASK_AGAIN)
        if not _signed(invited.key, message, body["countersign"]):
            fact = "the invitation's key did not sign the enrolment"
            raise EnrolmentRefused(fact, hint=_ASK_AGAIN)
        if not entry.verify(enrolment, body["key"]):
            fact = "the device's key did not sign the enrolment"
            raise EnrolmentRefused(fact, hint=_NEW_KEY)
        if enrolment.device in self._devices:
            raise EnrolmentRefused("the device is enrolled already", hint=_NEW_KEY)
        return invited

    def _counts(self, index: int, statement: Entry) -> bool:
        writer = self._devices.get(statement.device)
        return (
            writer is not None
            and self.has_right(statement, index)
            and entry.verify(statement, writer.key)
        )

    def _keyed(self, index: int, statement: Entry) -> None:
        new = statement.body["key"]
        name = keys.thumbprint(new)
        if name in self._devices or not entry.verify(statement, new):
            return
        if not (self._hands_over(index, statement) if self.workshop_key else name == self.workshop):
            return
        for thumbprint, device in self._devices.items():
            if device.role == CONSOLE and device.revoked_at is None:
                self._devices[thumbprint] = replace(device, revoked_at=index)
        self._devices[name] = Device(new, CONSOLE, CONSOLE, index)
        if self.workshop_key is None:
            self._begin(index, statement.body.get("edition", 1))
        self.workshop_key = new

    def _rules_began(self, index: int, statement: Entry) -> None:
        if self._counts(index, statement):
            self._begin(index, statement.body["edition"])

    def _begin(self, index: int, edition: int) -> None:
        if edition > self.edition_at(index):
            self._began.append((index, edition))

    def _hands_over(self, index: int, statement: Entry) -> bool:
        """Say whether the workshop key before, or an owner's device, signed for the new key."""
        signed_by = statement.body.get("signed_by")
        if signed_by is None:
            return False
        before = self._devices.get(keys.thumbprint(signed_by["key"]))
        message = keys.succession_message(key=statement.body["key"], workshop=self.workshop)
        return (
            before is not None
            and before.role in (CONSOLE, "owner")
            and before.was_in(index)
            and _signed(before.key, message, signed_by["signature"])
        )

    def _invited(self, index: int, statement: Entry) -> None:
        if self._counts(index, statement):
            # Told a second time it is no other invitation: one that was used stays so.
            self._invitations.setdefault(statement.id, Invited(**statement.body))

    def _enrolled(self, index: int, statement: Entry) -> None:
        try:
            invited = self._follows(statement)
        except EnrolmentRefused:
            return  # it stands in the ledger and lets nobody in; `check_enrolment` says why
        self._devices[statement.device] = Device(
            statement.body["key"], invited.role, invited.person, index
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


def read_invitation(text: str) -> Invitation:
    """
    Read what stands behind `#invite=` in an invitation's link.

    Raises:
        BadInvitation: If it is not an invitation, or was cut off.
    """
    try:
        said = canonical.loads(base64url.decode(text))
        secret = base64url.decode(said.pop("secret"), keys.KEY_BYTES)
        right = said.pop("v") == 1 and _is_invitation(said)
    except (LedgerError, AttributeError, KeyError, TypeError) as error:
        raise _not_an_invitation(str(error)) from error
    if not right:
        raise _not_an_invitation("its members are not those of an invitation")
    return Invitation(secret=secret, **said)


_INVITATION: Final = {
    "invitation": fields.SHA256,
    "key": fields.KEY,
    "person": fields.UUID7,
    "role": "|".join(ROLES),
    "workshop": fields.KEY,
}


def _is_invitation(said: dict[str, object]) -> bool:
    return said.keys() == _INVITATION.keys() and all(
        fields.is_formed(value, _INVITATION[name]) for name, value in said.items()
    )


def _not_an_invitation(fact: str) -> BadInvitation:
    return BadInvitation(
        f"the text is not an invitation: {fact}",
        hint="Take the whole link; if it was cut off, ask the owner for a new invitation.",
    )


def _signed(key: str, message: bytes, signature: str) -> bool:
    try:
        return keys.verify(key, message, base64url.decode(signature, keys.SIGNATURE_BYTES))
    except LedgerError:
        return False
