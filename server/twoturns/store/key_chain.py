"""Which statements one needs to know a key: from the workshop's first key to it, and of it."""

from twoturns.ledger.keys import thumbprint
from twoturns.ledger.record import Record

Records = dict[int, Record]
# These decide which workshop key counts, whoever is asked for.
_ALWAYS = ("workshop.keyed", "recovery.committed", "rules.began")


def led_to(statements: Records, devices: set[str]) -> Records:
    """Return the statements that lead from the workshop's first key to these devices."""
    chosen = {i: one for i, one in statements.items() if one.entry.kind in _ALWAYS}
    wanted = devices | {one.entry.device for one in chosen.values()} | _handed_over(chosen)
    while True:
        invitations = {
            one.entry.body["invitation"]
            for one in statements.values()
            if one.entry.kind == "device.enrolled" and one.entry.device in wanted
        }
        served = {
            person
            for one in statements.values()
            if one.entry.kind == "device.serves" and one.entry.body["device"] in wanted
            for person in one.entry.body["persons"]
        }
        for index, one in statements.items():
            said = one.entry
            if (
                (said.kind == "device.enrolled" and said.device in wanted)
                or said.body.get("device") in wanted  # revoked, shut out, whom it serves
                or (said.kind == "device.invited" and said.body["person"] in served)
                or said.id in invitations
            ):
                chosen[index] = one
        found = {one.entry.device for one in chosen.values()} - wanted
        if not found:
            return chosen
        wanted |= found


def _handed_over(keyed: Records) -> set[str]:
    """Return the devices that signed for a later workshop key."""
    signed_by = (one.entry.body.get("signed_by") for one in keyed.values())
    return {thumbprint(one["key"]) for one in signed_by if one is not None}
