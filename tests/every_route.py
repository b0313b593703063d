"""Every question that can be asked of a workshop, and a workshop with something to answer them."""

import hashlib
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from busy_week import a_busy_week
from tiny_procedure import TINY_SOURCE
from twoturns.store.draft import Draft
from twoturns.store.drafts import NEW
from twoturns.store.summaries import renew
from workshop import Client, Phone, Workshop, opening, private_value, publish_tiny, ref, uuid7

PHOTO = b"\xff\xd8\xff no photo at all"
SHA = hashlib.sha256(PHOTO).hexdigest()


def history(shop: Workshop) -> tuple[dict[str, Phone], dict[str, str]]:
    """Fill a workshop with one of everything; return its people and what routes are asked with."""
    a_busy_week(shop)
    owner, phone, lost = (shop.enrol(role) for role in ("owner", "mechanic", "mechanic"))
    bundle = publish_tiny(shop.store)
    shop.store.drafts.put("tiny", Draft(TINY_SOURCE, {"notch.png": PHOTO}), NEW)
    for number in range(3):
        job, words = uuid7(), private_value("words", f"oily {number}")
        values = private_value("vin", f"TT{number}"), private_value("plate", f"W{number}")
        body = opening(*values, bundle=bundle.sha256)
        shop.push(phone.write("job.opened", body, job), blobs=values)
        part = {"step": "fit", "name": "belt", "part": "belt", "lot": f"L{number}"}
        shop.push(phone.write("part.fitted", part, job))
        shop.push(phone.write("note.added", {"text": ref(words)}, job), blobs=(words,))
        read = {"step": "fit", "name": "nut", "value": "26", "unit": "N·m", "tool": "TW-2"}
        shop.push(phone.write("reading.taken", read | {"low": "25"}, job))
    recall = owner.write("lot.recalled", {"lot": "L2", "because": "teeth"})
    checked = {"tool": "TW-2", "on": "2026-11-24", "unit": "N·m", "allowed_percent": "4"}
    checked |= {"points": [{"nominal": n, "found": f} for n, f in (("20", "18"), ("60", "54"))]}
    check = owner.write("tool.checked", checked)
    shop.push(recall, check)
    photo = {"step": "belt_on", "name": "whole_drive", "blob": SHA, "size": len(PHOTO)}
    photo |= {"type": "image/jpeg", "width": 0, "height": 0, "how": "picked"}
    shop.push(phone.write("photo.taken", photo, job))
    taken = phone.heads[job]
    shared = {
        "token": hashlib.sha256(SECRET.encode()).hexdigest(),
        "until": "2030-01-01T00:00:00.000Z",
    }
    shared |= {"rows": [{"under": "u", "name": "n", "value": ref(values[0])}]}
    shared |= {"photos": [{"photo": taken[0], "label": "the drive"}]}
    shop.push(phone.write("page.shared", shared, job))
    shop.push(lost.write("job.taken", {}, job))
    shop.push(owner.write("device.revoked", {"device": lost.id, "because": "lost"}))
    shop.push(lost.write("job.taken", {}, job))
    order = {"blobs": [ref(values[1])["blob"]], "reason": "asked", "basis": "law"}
    shop.push(owner.write("erasure.ordered", order))
    shop.push(owner.write("retention.set", {"days": 1}))
    renew(shop.store, set(), most=2)
    days = {"days": ["2026-01-01", "2026-12-31"]}
    people = {
        "owner": owner,
        "mechanic": phone,
        "revoked": lost,
        "auditor": shop.enrol("auditor"),
        "auditor of jobs": shop.enrol("auditor", scope={"jobs": [job], **days}),
        "auditor of days": shop.enrol("auditor", scope=days),
    }
    named = {"JOB": job, "VIN": ref(values[0])["blob"], "BUNDLE": bundle.sha256}
    return people, {**named, "RECALL": recall.id, "CHECK": check.id}


GETS = (
    "/api/workshop",
    "/api/health",
    "/api/retention",
    "/api/keys",
    "/api/log",
    "/api/log?since=5&most=2",
    "/api/log?held=0",
    "/api/log?since=5&most=2&held=5",
    "/api/lots",
    "/api/lots?most=1&after=1",
    "/api/jobs",
    "/api/jobs?most=1&after=9.JOB",
    "/api/jobs/JOB/log",
    "/api/jobs/JOB/log?since=5&most=2",
    "/api/jobs/JOB/bag",
    "/api/jobs/JOB/notices",
    "/api/today?since=2026-01-01T00:00:00.000Z",
    "/api/due",
    "/api/due?most=1&after=2026-01-01.JOB",
    "/api/figures",
    "/api/devices",
    "/api/desk",
    "/api/desk?most=1&after=9.JOB",
    "/api/erasures",
    "/api/findings",
    "/api/follow-ups/RECALL",
    "/api/follow-ups/CHECK",
    "/api/follow-ups/CHECK?most=1&after=JOB",
    "/api/held",
    "/api/held/LOST",
    "/api/offers",
    "/api/hours?procedure=hayfork",
    "/api/bundles",
    "/api/bundles/BUNDLE",
    "/api/bundles/BUNDLE/weight",
    "/api/blocks",
    "/api/drafts",
    "/api/drafts/tiny",
    "/api/drafts/tiny/zip",
    "/api/drafts/tiny/check",
    "/api/drafts/tiny/changes",
    "/api/drafts/tiny/pictures/notch.png",
    "/api/checkpoint",
    "/api/consistency?from=2&to=9",
    "/api/inclusion?index=2&size=9",
    "/api/blobs/VIN",
    "/api/blobs/VIN/receipt",
    "/api/openapi.json",
)
# Of a page that a customer has the secret of.
SECRET = "A" * 43
OF_CUSTOMERS = ("/api/page", "/api/page/photos/SHA", "/api/page/bag")
WRITES = (
    "POST /api/find",
    "POST /api/audit/jobs",
    "POST /api/audit/population",
    "POST /api/bags",
    "POST /api/photos",
    "POST /api/entries",
    "POST /api/enrol",
    "POST /api/session/nonce",
    "POST /api/session",
    "DELETE /api/session",
    "POST /api/drive",
    "PUT /api/drafts/tiny/begin",
    "POST /api/drafts/tiny/hand-in",
    "POST /api/uploads",
    "HEAD /api/uploads/SHA",
    "PATCH /api/uploads/SHA",
)

# What jobs have in common, each by itself.
WANTED = (
    {},
    {"days": ["2026-01-01", "2026-12-31"]},
    {"person": "PERSON"},
    {"bundle": "BUNDLE"},
    {"engine_code": "K2"},
    {"exception": "failed"},
    {"tool": "W7"},
    {"lot": "L1"},
    {"text": "TT"},
)
PHOTOS_ASKED_BY = (
    {},
    {"after": "5"},
    {"step": "belt_on"},
    {"person": "p", "after": "5"},
    {"bundle": "ab" * 32},
    {"engine_code": "PL-8"},
    {"standing": "good"},
    {"standing": "forked"},
    {"sharp_below": 250, "since": "2026-01-01", "until": "2026-12-31"},
)

BEGUN = {
    "engine": "PL-8",
    "belt": "96x8",
    "wheels": ["crank:0,0:20t", "tensioner:-34,130:60mm:throw8", "cam:10,260:40t"],
    "clockwise": True,
}


@dataclass(frozen=True)
class Question:
    """A request that changes nothing."""

    method: str
    path: str
    body: object = None
    secret: str | None = None

    def __str__(self) -> str:
        return f"{self.method} {self.path} {self.body or ''}".rstrip()

    def asked_by(self, client: Client) -> tuple[int, bytes]:
        """Return status and body of the answer."""
        says = {"Authorization": f"Bearer {self.secret}"} if self.secret else {}
        is_post = self.method == "POST"
        answer = client.post(self.path, self.body) if is_post else client.get(self.path, **says)
        with answer:
            return answer.status_code, answer.get_data()


def questions(names: Mapping[str, str]) -> Iterator[Question]:
    """Yield every question, by the names of what is asked for (`history`)."""
    for path in GETS:
        yield Question("GET", _filled(path, names))
    for path in OF_CUSTOMERS:
        yield Question("GET", path.replace("SHA", SHA), secret=SECRET)
    for key in ("vin", "plate", "lot", "tool", "code"):
        yield Question("POST", "/api/find", {key: "TT1"})
        yield Question("POST", "/api/find", {key: "TT1", "after": names["JOB"]})
    for wanted in WANTED:
        asked = {name: names.get(str(value), value) for name, value in wanted.items()}
        yield Question("POST", "/api/audit/jobs", asked)
        yield Question("POST", "/api/audit/population", asked)
    yield Question("POST", "/api/bags", {"jobs": [names["JOB"]]})
    for asked in PHOTOS_ASKED_BY:
        yield Question("POST", "/api/photos", asked)


def _filled(path: str, names: Mapping[str, str]) -> str:
    return re.sub("[A-Z]+", lambda name: names.get(name[0], name[0]), path)
