"""A page of a test's own: built from client/src, served under the app's security policy."""

from __future__ import annotations

import functools
import http.server
import subprocess
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from browser.serving import ROOT
from twoturns.web.headers import CONTENT_SECURITY_POLICY


class Pages(http.server.SimpleHTTPRequestHandler):
    def end_headers(self) -> None:
        self.send_header("Content-Security-Policy", CONTENT_SECURITY_POLICY)
        super().end_headers()

    def log_message(self, *words: object) -> None:
        return


@contextmanager
def served_page(name: str, built: Path) -> Iterator[str]:
    """Build tests/browser/NAME into a folder and serve it; yields its address."""
    source = ROOT / "tests" / "browser" / name
    command = ["npx", "vite", "build", "--config", "vite.probe.config.ts", "--outDir", str(built)]
    done = subprocess.run(
        [*command, str(source)], cwd=ROOT / "client", capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    handler = functools.partial(Pages, directory=str(built))
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield f"http://localhost:{server.server_port}/"
    finally:
        server.shutdown()
        server.server_close()
