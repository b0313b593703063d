"""A device that asks servers over HTTP, as a browser does: one cookie, whichever it asks."""

import base64
import http.client
import json
from dataclasses import dataclass
from typing import Any

from twoturns.ledger import keys
from twoturns.ledger.bodies import EDITION
from twoturns.ledger.entry import Entry
from workshop import NOON, Phone, as_text

PIECES = "application/offset+octet-stream"


@dataclass(frozen=True)
class Reply:
    status: int
    headers: http.client.HTTPMessage
    data: bytes

    @property
    def json(self) -> Any:
        return json.loads(self.data)


class Browser:
    """A device, signed in once it has a cookie."""

    def __init__(self, host: str, phone: Phone | None = None) -> None:
        self.phone = phone
        self.headers = {"Host": host, "Two-Turns-Reads": str(EDITION)}

    def ask(self, port: int, method: str, path: str, body: object = None, **headers: str) -> Reply:
        """Send JSON, or bytes as they are; header names are given with `_` for `-`."""
        named = {name.replace("_", "-"): value for name, value in headers.items()}
        data = body if isinstance(body, bytes) or body is None else json.dumps(body).encode()
        if data is not None and not isinstance(body, bytes):
            named["Content-Type"] = "application/json"
        line = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
        try:
            line.request(method, path, data, {**self.headers, **named})
            answer = line.getresponse()
            return Reply(answer.status, answer.headers, answer.read())
        finally:
            line.close()

    def nonce(self, port: int, **headers: str) -> str:
        said = {"device": self.phone.id}
        return self.ask(port, "POST", "/api/session/nonce", said, **headers).json["nonce"]

    def sign_in(self, port: int, nonce: str, **headers: str) -> Reply:
        message = keys.session_message(
            device=self.phone.id, nonce=nonce, workshop=self.phone.workshop
        )
        said = {"device": self.phone.id, "nonce": nonce, "signature": self.phone.sign(message)}
        answer = self.ask(port, "POST", "/api/session", said, **headers)
        if answer.status == 200:
            self.headers["Cookie"] = answer.headers["Set-Cookie"].partition(";")[0]
        return answer

    def push(self, port: int, *said: Entry, blobs: tuple[bytes, ...] = (), **headers: str) -> Reply:
        body = {"lines": [one.line for one in said], "blobs": [blob.decode() for blob in blobs]}
        sent = {"sent_at": as_text(NOON), **body}
        return self.ask(port, "POST", "/api/entries", sent, **headers)

    def tus(self, port: int, method: str, path: str, body: bytes = b"", **headers: str) -> Reply:
        return self.ask(port, method, path, body, Tus_Resumable="1.0.0", **headers)

    def begin_upload(self, port: int, sha256: str, length: int, **headers: str) -> Reply:
        named = {"Upload_Metadata": f"sha256 {base64.b64encode(sha256.encode()).decode()}"}
        named["Upload_Length"] = str(length)
        return self.tus(port, "POST", "/api/uploads", **named, **headers)

    def send_piece(
        self, port: int, sha256: str, offset: int, piece: bytes, **headers: str
    ) -> Reply:
        named = {"Upload_Offset": str(offset), "Content_Type": PIECES}
        return self.tus(port, "PATCH", f"/api/uploads/{sha256}", piece, **named, **headers)
