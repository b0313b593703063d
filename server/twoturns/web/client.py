"""
The built app: what `vite build` put into `twoturns/static`.

Names below `assets/` carry a hash of their content and never change. Everything else is asked
for anew each time, above all `sw.js`: a cached service worker would keep an old app for ever.

The build packed each text, and nothing is packed at a request: a copy goes out by what the asker
accepts (RFC 9110, section 12.5.3), with an ETag of its own.
"""

import mimetypes
from pathlib import Path

from flask import Blueprint, Response, make_response, request, send_from_directory
from werkzeug.security import safe_join

from twoturns.web.headers import CONTENT_SECURITY_POLICY

client = Blueprint("client", __name__)
STATIC = Path(__file__).resolve().parents[1] / "static"
# The worker that reads codes runs WebAssembly; the page and all other workers may not.
DECODER = "scan.worker-"
WASM_POLICY = CONTENT_SECURITY_POLICY + "; script-src 'self' 'wasm-unsafe-eval'"
# The page that checks bags has all in it, and names itself the hashes of what it runs: it holds
# where this server is not, and both policies count. It loads and sends nothing.
CHECK = "check.html"
CHECK_POLICY = "; ".join(
    [
        "default-src 'none'",
        "script-src 'unsafe-inline'",
        "style-src 'unsafe-inline'",
        "base-uri 'none'",
        "form-action 'none'",
        "frame-ancestors 'none'",
    ]
)

# By content coding, the smallest first: what the build wrote beside a file.
PACKED = {"br": ".br", "gzip": ".gz"}

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
    response = _sent(STATIC / "assets", name)
    if name.startswith(DECODER):
        response.headers["Content-Security-Policy"] = WASM_POLICY
    response.cache_control.no_cache = None
    response.cache_control.public = True
    response.cache_control.max_age = 31_536_000
    response.cache_control.immutable = True
    return response


@client.get("/<name>")
def file(name: str) -> Response:
    """Return a file beside the page: the service worker, the manifest, what checks bags."""
    response = _asked_for_each_time(name)
    if name == CHECK:
        response.headers["Content-Security-Policy"] = CHECK_POLICY
    return response


def _asked_for_each_time(name: str) -> Response:
    response = _sent(STATIC, name)
    response.cache_control.no_cache = True
    return response


def _sent(folder: Path, name: str) -> Response:
    """Return a file, packed in the way that the asker likes best and that is there."""
    coding = _coding(folder, name)
    kind, _ = mimetypes.guess_type(name)
    response = send_from_directory(folder, name + PACKED.get(coding, ""), mimetype=kind)
    if coding in PACKED:
        response.content_encoding = coding
    response.vary.add("Accept-Encoding")
    return response


def _coding(folder: Path, name: str) -> str:
    """Say which content coding of a file to send; of those liked equally the smallest."""
    path = safe_join(str(folder), name)
    there = [one for one, end in PACKED.items() if path and Path(path + end).is_file()]
    best = max(there, key=request.accept_encodings.quality, default="identity")
    return best if request.accept_encodings.quality(best) > 0 else "identity"
