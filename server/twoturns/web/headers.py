"""
The headers every answer carries (OWASP ASVS 5.0.0 chapters 3.4 and 14.3).

No CORS header is ever sent: page and API are one origin.
"""

from flask import Flask, Response, request

CONTENT_SECURITY_POLICY = "; ".join(
    [
        "default-src 'self'",
        "img-src 'self' blob: data:",
        "media-src 'self' blob:",
        "worker-src 'self'",
        "connect-src 'self'",
        "object-src 'none'",
        "base-uri 'none'",
        "form-action 'none'",
        "frame-ancestors 'none'",
    ]
)
# A blob is whatever somebody sent. Opened by itself it gets no origin, no script, no anything.
BLOB_SECURITY_POLICY = "sandbox; default-src 'none'"

ALWAYS = {
    "Content-Security-Policy": CONTENT_SECURITY_POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Permissions-Policy": "camera=(self), microphone=(self), geolocation=(), payment=(), usb=()",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}
# What a browser keeps of an answer outlives its session: nothing of the API but procedures.
NO_STORE = "no-store"
ALWAYS_ON_API = ALWAYS | {"Cache-Control": NO_STORE}
# A year (RFC 6797). Whoever came by https once is not led to plain http by a stranger's link.
OVER_HTTPS = {"Strict-Transport-Security": "max-age=31536000"}


def set_on(app: Flask) -> None:
    """Have every answer of the app carry the headers; a view's own value stands."""

    @app.after_request
    def add(response: Response) -> Response:
        own = {name.lower() for name, _ in response.headers}
        wanted = ALWAYS_ON_API if request.path.startswith("/api/") else ALWAYS
        if _came_over_https():
            wanted = wanted | OVER_HTTPS
        response.headers.extend(
            (name, value) for name, value in wanted.items() if name.lower() not in own
        )
        return response


def _came_over_https() -> bool:
    """
    Say whether the browser asked over https, by the word of the proxy that ends it.

    Anyone may write that header, but only into a request of its own: the answer goes to no other.
    """
    return request.is_secure or request.headers.get("X-Forwarded-Proto") == "https"
