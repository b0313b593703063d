"""Signing in: a nonce, the device key's signature over it, a cookie that scripts cannot read."""

from typing import Annotated

from flask import Response, jsonify
from marshmallow import fields, validate

from twoturns.ledger import base64url, keys
from twoturns.ledger.bodies_of_workshops import ROLES
from twoturns.ledger.errors import BadKey
from twoturns.ledger.forms import KEY
from twoturns.store.events import tell
from twoturns.store.sessions import SESSION_LIFE
from twoturns.web import cookie
from twoturns.web.access import now, store
from twoturns.web.answers import Answer
from twoturns.web.api import Form, Room
from twoturns.web.origin import origin
from twoturns.web.problems import Refused
from twoturns.words import t
from twoturns.words.en.web import session as words

session = Room("session", "Signing in and out")

THUMBPRINT = validate.Regexp(rf"\A{KEY}\Z")


class DeviceForm(Form):
    """Who asks."""

    device = fields.String(required=True, validate=THUMBPRINT)


class NonceAnswer(Answer):
    """What the device signs."""

    nonce: str


class SignInForm(Form):
    """A nonce, signed by the device."""

    device = fields.String(required=True, validate=THUMBPRINT)
    nonce = fields.String(required=True, validate=validate.Length(1, 100))
    signature = fields.String(required=True, validate=validate.Length(1, 100))


class SessionAnswer(Answer):
    """For whom the session speaks, and until when."""

    role: Annotated[str, validate.OneOf(ROLES)]
    person: str
    until: str


@session.takes("/session/nonce", DeviceForm, NonceAnswer)
@session.alt_response(401, description="The device is not enrolled")
def make_nonce(form: dict[str, str]) -> dict[str, str]:
    """Return a nonce for a device to sign. It serves once, within five minutes."""
    if store().views.device(form["device"]) is None:
        raise Refused("unknown-device", t(words.DEVICE_NOT_ENROLLED))
    return {"nonce": store().sessions.nonce(form["device"], now())}


@session.takes("/session", SignInForm, SessionAnswer)
@session.alt_response(401, description="The signature or the nonce does not hold")
def sign_in(form: dict[str, str]) -> Response:
    """
    Open a session of 12 hours: the answer brings its cookie.

    The signature is the device key's over `two-turns session\\n` and the canonical JSON of
    device, nonce and workshop.
    """
    device = store().views.device(form["device"])
    if device is None:
        raise Refused("unknown-device", t(words.DEVICE_NOT_ENROLLED))
    message = keys.session_message(
        device=form["device"], nonce=form["nonce"], workshop=store().ledger.workshop
    )
    if device.is_shut:
        raise Refused("device-shut", t(words.DEVICE_SHUT_OUT))
    # The signature first: what a stranger sends costs the workshop no write.
    is_signed = _signed(device.key, message, form["signature"])
    if not is_signed or not store().sessions.spend(form["nonce"], form["device"], now()):
        raise Refused("wrong-signature", t(words.WRONG_SIGNATURE))
    token, opened = store().sessions.start(form["device"], now())
    answer = jsonify({"role": device.role, "person": device.person, "until": opened.until})
    cookie.give(answer, token, SESSION_LIFE)
    tell("signed-in", device=form["device"], role=device.role, address=origin())
    return answer


@session.route("/session", methods=["DELETE"])
@session.response(204)
def sign_out() -> Response:
    """End the session. The phone keeps what it has not sent."""
    return signed_out(Response(status=204))


def signed_out(answer: Response) -> Response:
    """End the session of this request, if it has one, and have the answer take the cookie away."""
    token = cookie.token()
    if token:
        store().sessions.end(token)
    cookie.take_away(answer)
    return answer


def _signed(key: str, message: bytes, signature: str) -> bool:
    try:
        return keys.verify(key, message, base64url.decode(signature, keys.SIGNATURE_BYTES))
    except BadKey:
        return False
