"""
The built app: what `vite build` put into `twoturns/static`.

Names below `assets/` carry a hash of their content and never change. Everything else is asked
for anew each time, above all `sw.js`: a cached service worker would keep an old app for ever.
"""

import mimetypes
from pathlib import Path

from flask import Blueprint, Response, make_response, send_from_directory

from twoturns.web.headers import CONTENT_SECURITY_POLICY

client = Blueprint("client", __name__)
STATIC = Path(__file__).resolve().parents[1] / "static"
# The worker that reads codes runs WebAssembly; the page and all other workers may not.
DECODER = "scan.worker-"
WASM_POLICY = CONTENT_SECURITY_POLICY + "; script-src 'self' 'wasm-unsafe-eval'"

# Without the system's list Python knows some of these not at all, and .js by an old name.
for kind, suffix in (
    ("text/javascript", ".js"),
    ("text/javascript", ".mjs"),
    ("application/manifest+json", ".webmanifest"),
    ("application/wasm", ".wasm"),
    ("image/webp", ".webp"),
    ("font/woff2", ".woff2"),
):
    mimetypes.add_type(kind, suffix)

NOT_BUILT = """<!doctype html>
<html lang="en"><meta charset="utf-8"><title>Two Turns</title>
<h1>The app is not built</h1>
<p>The workshop's server runs, and its API answers. The pages for phone and desk are missing.</p>
<p>Build them with <code>npm ci</code> and <code>npm run build</code> in <code>client/</code>,
or install the released package, which has them inside.</p>
</html>
"""


@client.get("/")
@client.get("/index.html")
def page() -> Response:
    """Return the app's page, or say how to build it."""
    if not (STATIC / "index.html").is_file():
        return make_response(NOT_BUILT, 503)
    return _asked_for_each_time("index.html")


@client.get("/assets/<path:name>")
def asset(name: str) -> Response:
    """Return a file whose name changes with its content."""
    response = send_from_directory(STATIC / "assets", name)
    if name.startswith(DECODER):
        response.headers["Content-Security-Policy"] = WASM_POLICY
    response.cache_control.no_cache = None
    response.cache_control.public = True
    response.cache_control.max_age = 31_536_000
    response.cache_control.immutable = True
    return response


@client.get("/<name>")
def file(name: str) -> Response:
    """Return a file beside the page: the service worker, the manifest, an icon."""
    return _asked_for_each_time(name)


def _asked_for_each_time(name: str) -> Response:
    response = send_from_directory(STATIC, name)
    response.cache_control.no_cache = True
    return response
