"""
Whose a workshop's keys are, from formats.md, section 4, alone: nothing of the project is in it.
Outside: OKP thumbprints (RFC 7638, RFC 8037), Ed25519 (RFC 8032) by `cryptography`.
"""

import base64
import json
from hashlib import sha256

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey


def b64url(text):
    return base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))


def canonical(said):
    return json.dumps(said, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()


def thumbprint(key):
    digest = sha256(canonical({"crv": "Ed25519", "kty": "OKP", "x": key})).digest()
    return base64.urlsafe_b64encode(digest).decode().rstrip("=")


def check_signature(key, data, signature):
    Ed25519PublicKey.from_public_bytes(b64url(key)).verify(signature, data)


def check_word(purpose, by, **said):
    text = f"two-turns {purpose}\n".encode() + canonical(said)
    check_signature(by["key"], text, b64url(by["signature"]))


def keys_of(workshop, entries):
    """
    Return role and key of each device by its name, and the workshop key in force.

    `entries` are those that a workshop lets out: a succession that does not hold is an error. What
    a recovery undid keeps its key here, for its records are signed with it; rights are no matter.
    """
    keys, invited, current, paper, edition = {}, {}, None, None, 1
    for said in entries:
        body, device, kind = said["body"], said["device"], said["kind"]
        role, by = keys.get(device, "?")[0], body.get("recovered") or body.get("signed_by")
        if kind == "workshop.keyed" and (current or device == workshop):
            new, then = body["key"], body.get("recovery")
            if "recovered" in body:
                assert thumbprint(by["key"]) == paper != then
                named = {"key": new, "recovery": then, "root": by["root"], "size": by["size"]}
                check_word("recovery", by, **named, workshop=workshop)
            elif current:
                may = ("console", "owner") if edition < 2 else ("console",)
                assert by["key"] == current or keys[thumbprint(by["key"])][0] in may[1:]
                check_word("succession", by, key=new, workshop=workshop)
            else:
                edition = body.get("edition", 1)
            paper = then if "recovered" in body or not current else paper
            keys[device], current = ("console", new), new
        elif kind == "recovery.committed" and role == "console" and not paper:
            paper = body["recovery"]
        elif kind == "recovery.committed" and by and thumbprint(by["key"]) == paper:
            check_word("commitment", by, recovery=body["recovery"], workshop=workshop)
            paper = body["recovery"]
        elif kind == "rules.began" and role == "console":
            edition = max(edition, body["edition"])
        elif kind == "device.invited" and role in ("console", "owner"):
            invited.setdefault(said["id"], body)
        elif kind == "device.enrolled" and device not in keys:
            asked, names = invited[body["invitation"]], {"device": device, "workshop": workshop}
            word = {"key": asked["key"], "signature": body["countersign"]}
            check_word("enrol", word, **names, invitation=body["invitation"])
            keys[device] = (asked["role"], body["key"])
    return keys, current
