"""
What a request costs the server, as a ratio to a bare Flask view whose answer is as long.

Run by hand: `PYTHONPATH=server:tests python tests/bench/bench_requests.py`.

The app is asked through WSGI, without a socket, on a ledger of some forty records, as a phone
asks it that was away for long: thousands of small requests. Printed are the least of several
rounds, in the processor's time, and their median ratio. Some of the work is the store's alone.

Found on a busy machine, in bare views: a phone's question with nothing new 12, then 8 once it was
not looked up twice; the list of bundles 8, then 5; three entries 32, then 23; an invitation to a
workshop of 200 devices 41, then 9, as it wrote all of them anew. What is left of the smallest, 4,
is the framework's own part for a view with a schema, and three questions to SQLite.
"""

import io
import json
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import timedelta
from functools import partial
from pathlib import Path
from statistics import median
from typing import Any

from flask import Flask, Response

from twoturns.ledger.entry import Entry
from twoturns.store import Store, as_text
from twoturns.store.enrolment import let_in
from workshop import NOON, Phone, Workshop, clients, publish_tiny

ROUNDS, TIMES = 20, 10
JOBS, LINES = 8, 3


class Asked:
    """The workshop's app, and a phone signed in to it."""

    def __init__(self, folder: Path) -> None:
        self.workshop = Workshop(folder)
        publish_tiny(self.workshop.store)
        self.phone = self.workshop.enrol("mechanic")
        self.job = ""
        for _ in range(JOBS):
            self.job = self.workshop.open_job(self.phone)
            self.workshop.push(*self.taken())
        client = clients(self.workshop)(self.phone)
        self.app, self.cookie = client.app, client.headers["Cookie"]

    def taken(self) -> list[Entry]:
        return [self.phone.write("job.taken", {}, self.job) for _ in range(LINES)]

    def batch(self) -> dict[str, Any]:
        return {"sent_at": as_text(NOON), "lines": [one.line for one in self.taken()]}

    def ask(self, method: str, path: str, body: object = None, **headers: str) -> bytes:
        self.workshop.now += timedelta(seconds=1)  # no limit is met
        data = b"" if body is None else json.dumps(body).encode()
        return ask(self.app, method, path, data, COOKIE=self.cookie, **headers)


def ask(app: Flask, method: str, path: str, body: bytes = b"", **headers: str) -> bytes:
    """Ask an app as a server does; return the answer's body."""
    path, _, query = path.partition("?")
    environ = {
        "REQUEST_METHOD": method,
        "SCRIPT_NAME": "",
        "PATH_INFO": path,
        "QUERY_STRING": query,
        "SERVER_NAME": "localhost",
        "SERVER_PORT": "80",
        "SERVER_PROTOCOL": "HTTP/1.1",
        "HTTP_HOST": "localhost",
        "REMOTE_ADDR": "192.0.2.7",
        "CONTENT_LENGTH": str(len(body)),
        "CONTENT_TYPE": "application/json" if body else "",
        "wsgi.version": (1, 0),
        "wsgi.url_scheme": "http",
        "wsgi.input": io.BytesIO(body),
        "wsgi.errors": sys.stderr,
        "wsgi.multithread": True,
        "wsgi.multiprocess": False,
        "wsgi.run_once": False,
        **{f"HTTP_{name}": value for name, value in headers.items()},
    }
    told: list[str] = []
    pieces = app.wsgi_app(environ, lambda status, _: told.append(status))
    data = b"".join(pieces)
    pieces.close()
    if told[0] >= "4":
        raise RuntimeError(f"{method} {path}: {told[0]} {data!r}")
    return data


def bare(size: int) -> Flask:
    """Return an app of one view whose answer has a size."""
    app, answer = Flask("bare"), b"x" * size

    @app.route("/", methods=["GET", "POST", "HEAD"])
    def view() -> Response:
        return Response(answer, mimetype="application/json")

    return app


def report_requests(asked: Asked) -> None:
    store = asked.workshop.store
    size, root = store.ledger.size(), store.ledger.checkpoint().split("\n")[2]
    seen, tus = (
        {"TWO_TURNS_SEEN": f"{size} {root}", "TWO_TURNS_READS": "2"},
        {"TUS_RESUMABLE": "1.0.0"},
    )
    bundle = store.views.bundles()[0]["bundle"]
    for method, path, headers in (
        ("GET", "/api/workshop", {}),
        ("GET", "/api/bundles", {}),
        ("GET", f"/api/bundles/{bundle}", {}),
        ("GET", f"/api/blobs/{bundle}", {}),
        ("GET", f"/api/blobs/{bundle}/receipt", {}),
        ("HEAD", f"/api/uploads/{bundle}", tus),
        ("GET", f"/api/log?since={size}", seen),
        ("GET", "/api/log?since=0", seen),
        ("GET", f"/api/consistency?from=5&to={size}", {}),
    ):
        work = partial(asked.ask, method, path, **headers)
        report(f"{method} {path.replace(bundle, 'SHA')}", work)
    nonce = {"device": asked.phone.id}
    report("POST /api/session/nonce", lambda: asked.ask("POST", "/api/session/nonce", nonce))
    batches = iter([asked.batch() for _ in range(ROUNDS * TIMES + 1)])
    report(
        f"POST /api/entries, {LINES} new",
        lambda: asked.ask("POST", "/api/entries", next(batches), **seen),
    )
    batch = asked.batch()
    report(
        f"POST /api/entries, {LINES} again",
        lambda: asked.ask("POST", "/api/entries", batch, **seen),
    )


def report_store(workshop: Workshop) -> None:
    phones = iter([invited(workshop) for _ in range(ROUNDS * TIMES + 1)])
    report("enrol", lambda: let_in(workshop.store, next(phones), NOON))
    report("invite", lambda: workshop.invite("mechanic"))
    report("open a store", lambda: Store(workshop.folder).database.close())


def invited(workshop: Workshop) -> str:
    """Return the line that a phone comes in by."""
    invitation, secret, person = workshop.invite("mechanic")
    phone = Phone(workshop.store.ledger.workshop, person, "mechanic")
    return workshop.enrolment(phone, invitation, secret).line


def report(name: str, work: Callable[[], object]) -> None:
    answer = work()
    app = bare(len(answer) if isinstance(answer, bytes) else 0)
    # In turns, as the machine may be slower in one moment than in the next.
    rounds = [(taken(partial(ask, app, "GET", "/")), taken(work)) for _ in range(ROUNDS)]
    least = min(took for _, took in rounds) / TIMES * 1000
    ratio = median(took / plain for plain, took in rounds)
    print(f"{name:32} {least:6.2f} ms, {ratio:6.1f} bare views")


def taken(work: Callable[[], object]) -> float:
    """Return the processor's seconds that a piece of work takes so many times."""
    since = time.process_time()
    for _ in range(TIMES):
        work()
    return time.process_time() - since


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        asked = Asked(Path(folder) / "data")
        report("rebuild", asked.workshop.store.rebuild)
        report_requests(asked)
        report_store(asked.workshop)


if __name__ == "__main__":
    main()
