"""A workshop for tests: keys, invitations and signed entries, as the phones make them."""

import hashlib
import os
from collections.abc import Callable, Sequence
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path
from typing import Any

from flask import Flask
from werkzeug.test import TestResponse

import ledgers
from described import as_described
from ledger_entries import line_of
from tiny_procedure import TINY_RULES, TINY_SOURCE
from twoturns.ledger import base64url, entry, keys, private
from twoturns.ledger.bodies import EDITION
from twoturns.ledger.entry import Entry
from twoturns.ledger.keys import SigningKey
from twoturns.procedure.compile.bundle import Bundle, canonical
from twoturns.procedure.compile.compiler import compile_source
from twoturns.procedure.rules.house import Rule
from twoturns.store import Store, as_text
from twoturns.store.bundles import publish
from twoturns.store.enrolment import let_in
from twoturns.store.ledger import Receipt
from twoturns.web import create_app

NOON = datetime(2026, 11, 24, 12, 0, tzinfo=UTC)
_numbers = count(1)


def number_from(first: int) -> None:
    """Have ids go on from a number: those below it are taken."""
    global _numbers  # noqa: PLW0603 - chance would make no two runs alike
    _numbers = count(first)


def uuid7() -> str:
    """Return a fresh UUID of version 7; its time is a counter, so that runs are alike."""
    number = next(_numbers)
    return f"{number:08x}-0000-7000-8000-{number:012x}"


class Phone:
    """A device: its key, what it has written, and what it has seen."""

    def __init__(self, workshop: str, person: str, role: str) -> None:
        self.key = SigningKey.generate()
        self.workshop, self.person, self.role = workshop, person, role
        self.seq = 0
        self.heads: dict[str | None, list[str]] = {}

    @property
    def id(self) -> str:
        return self.key.thumbprint

    def write(self, kind: str, body: dict[str, Any], job: str | None = None, **other: Any) -> Entry:
        """Sign the device's next entry, after all it has seen of the job."""
        return self._said(entry.sign({**self._members(kind, body, job), **other}, self.key))

    def write_newer(self, kind: str, body: dict[str, Any], job: str | None = None) -> Entry:
        """Sign the device's next entry as an app of a later edition does."""
        return self._said(entry.parse(line_of(self._members(kind, body, job), self.key)))

    def _members(self, kind: str, body: dict[str, Any], job: str | None) -> dict[str, Any]:
        self.seq += 1
        return {
            "after": self.heads.get(job, []),
            "at": as_text(NOON),
            "body": body,
            "job": job,
            "kind": kind,
            "person": self.person,
            "seq": self.seq,
            "workshop": self.workshop,
        }

    def _said(self, said: Entry) -> Entry:
        self.heads[said.job] = [said.id]
        return said

    def sign(self, message: bytes) -> str:
        return base64url.encode(self.key.sign(message))


class Workshop:
    """A store in a folder, and who works there."""

    def __init__(self, folder: Path, **where: str | None) -> None:
        """`where`: its `ledger` and its `photos`, by their URLs."""
        self.folder = folder
        where = {"ledger": ledgers.new_ledger(), **where}
        self.store = Store.create(folder, "Workshop at the Weir", NOON, **where)
        self.now = NOON

    @classmethod
    def opened(cls, folder: Path) -> "Workshop":
        """Return the workshop that is in a folder."""
        workshop = cls.__new__(cls)
        workshop.folder, workshop.store, workshop.now = folder, Store(folder), NOON
        return workshop

    def invite(
        self, role: str, *, hours: int = 1, person: str | None = None, **more: Any
    ) -> tuple[str, SigningKey, str]:
        """Invite a person, a new one if none is named; returns the invitation's id, its key, it."""
        secret, person = SigningKey.generate(), person or uuid7()
        until = as_text(self.now + timedelta(hours=hours))
        body = {"key": secret.key, "role": role, "person": person, "until": until, **more}
        _, said = self.store.ledger.state("device.invited", body, self.now)
        return said.id, secret, person

    def enrolment(self, phone: Phone, invitation: str, secret: SigningKey) -> Entry:
        message = keys.enrolment_message(
            device=phone.id, invitation=invitation, workshop=phone.workshop
        )
        body = {
            "key": phone.key.key,
            "invitation": invitation,
            "countersign": base64url.encode(secret.sign(message)),
        }
        return phone.write("device.enrolled", body)

    def enrol(self, role: str, *, person: str | None = None, **more: Any) -> Phone:
        invitation, secret, person = self.invite(role, person=person, **more)
        phone = Phone(self.store.ledger.workshop, person, role)
        let_in(self.store, self.enrolment(phone, invitation, secret).line, self.now)
        return phone

    def push(self, *said: Entry, blobs: tuple[bytes, ...] = ()) -> Receipt:
        return self.store.ledger.append(
            [one.line for one in said],
            [blob.decode() for blob in blobs],
            received=self.now,
            offset_ms=0,
        )

    def open_job(self, phone: Phone, *, vin: str = "TT000000000000001") -> str:
        """Open a job and push it with its private values."""
        job, values = uuid7(), [private_value("vin", vin), private_value("plate", "WEIR 12")]
        said = phone.write("job.opened", opening(*values), job)
        receipt = self.push(said, blobs=tuple(values))
        assert receipt.refused == []
        return job


def rows_of_table(store: Store, table: str) -> list[tuple[Any, ...]]:
    """Return all rows of a table, in an order that is the same in both engines."""
    rows = store.database.rows(f"select * from {table}")
    return sorted((tuple(row.values()) for row in rows), key=repr)


def all_rows(store: Store) -> dict[str, list[tuple[Any, ...]]]:
    """Return all rows of all tables."""
    is_embedded = store.database.connection().is_embedded
    names = store.database.rows(_NAMES_EMBEDDED if is_embedded else _NAMES)
    return {one["name"]: rows_of_table(store, one["name"]) for one in names}


_NAMES_EMBEDDED = "select name from sqlite_schema where type = 'table'"
_NAMES = "select tablename as name from pg_tables where schemaname = current_schema"


def private_value(field: str, value: str) -> bytes:
    return private.write(field, value, os.urandom(16))


def ref(data: bytes) -> dict[str, str]:
    return {"blob": private.blob_id(data)}


def opening(vin: bytes, plate: bytes, bundle: str = "ab" * 32) -> dict[str, Any]:
    return {
        "bundle": bundle,
        "vin": ref(vin),
        "plate": ref(plate),
        "odometer_km": 181_220,
        "engine_code": "QV-2.0",
        "bay": "2",
    }


class Client:
    """A device's browser: its cookie is sent by hand, as no test runs over HTTPS."""

    def __init__(self, app: Flask, phone: Phone | None = None, *, host: str | None = None) -> None:
        self.app = app
        self._client = app.test_client(use_cookies=False)
        self.headers: dict[str, str] = {"Two-Turns-Reads": str(EDITION)}
        if host is not None:
            self.headers["Host"] = host
        if phone is not None:
            self.sign_in(phone)

    def sign_in(self, phone: Phone) -> None:
        nonce = self.post("/api/session/nonce", {"device": phone.id}).json["nonce"]
        message = keys.session_message(device=phone.id, nonce=nonce, workshop=phone.workshop)
        said = {"device": phone.id, "nonce": nonce, "signature": phone.sign(message)}
        answer = self.post("/api/session", said)
        assert answer.status_code == 200, answer.json
        self.set_cookie = answer.headers["Set-Cookie"]
        self.headers["Cookie"] = self.set_cookie.partition(";")[0]

    def get(self, path: str, **headers: str) -> TestResponse:
        return as_described(
            self.app, self._client.get(path, headers={**self.headers, **headers}, buffered=True)
        )

    def post(self, path: str, json: object, **headers: str) -> TestResponse:
        return as_described(
            self.app, self._client.post(path, json=json, headers={**self.headers, **headers})
        )

    def put(self, path: str, json: object, **headers: str) -> TestResponse:
        return as_described(
            self.app, self._client.put(path, json=json, headers={**self.headers, **headers})
        )

    def put_bytes(
        self, path: str, data: bytes, kind: str = "application/octet-stream", **headers: str
    ) -> TestResponse:
        said = {**self.headers, **headers}
        return self._client.put(path, data=data, content_type=kind, headers=said)

    def delete(self, path: str, **headers: str) -> TestResponse:
        return self._client.delete(path, headers={**self.headers, **headers})

    def tus(self, method: str, path: str, data: bytes = b"", **headers: str) -> TestResponse:
        """Send a tus request; header names are given with `_` for `-`."""
        named = {name.replace("_", "-"): value for name, value in headers.items()}
        return self._client.open(
            path,
            method=method,
            data=data,
            headers={"Tus-Resumable": "1.0.0", **self.headers, **named},
            buffered=True,
        )

    def push(self, *said: Entry, blobs: tuple[bytes, ...] = ()) -> TestResponse:
        body = {"lines": [one.line for one in said], "blobs": [blob.decode() for blob in blobs]}
        return self.post("/api/entries", {"sent_at": as_text(NOON), **body})


def clients(workshop: Workshop, **settings: Any) -> Callable[..., Client]:
    """Return what opens clients of the workshop's app; its clocks are the workshop's."""
    clocks = {"clock": lambda: workshop.now, "ticks": lambda: workshop.now.timestamp()}
    app = create_app(workshop.folder, **{**clocks, **settings})
    return lambda phone=None: Client(app, phone)


PICTURE = b"\x89PNG\r\n\x1a\n a bundle never looks into its pictures"


def tiny_bundle(
    edition: int = 1,
    *,
    rules: Sequence[Rule] = (),
    source: str = TINY_SOURCE,
    picture: bytes = PICTURE,
) -> Bundle:
    """Compile the tiny procedure, with one picture, and with more rules than its own."""
    source = source.replace("drive:\n", "assets: [notch.png]\ndrive:\n")
    source = source.replace("edition: 1", f"edition: {edition}")
    compiled = compile_source(source.encode(), {"notch.png": picture}, [*TINY_RULES, *rules])
    data = canonical(compiled.bundle)
    sha256 = hashlib.sha256(data).hexdigest()
    pictures = {"notch.png": picture}
    return Bundle(compiled, data, sha256, pictures)


def publish_tiny(store: Store, now: datetime = NOON, *, edition: int = 1) -> Bundle:
    """Publish the tiny procedure in a workshop, and return it."""
    bundle = tiny_bundle(edition)
    publish(store, bundle, now)
    return bundle
