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
ALWAYS_ON_API = ALWAYS | {"Cache-Control": "no-store"}


def set_on(app: Flask) -> None:
    """Have every answer of the app carry the headers; a view's own value stands."""

    @app.after_request
    def add(response: Response) -> Response:
        own = {name.lower() for name, _ in response.headers}
        wanted = ALWAYS_ON_API if request.path.startswith("/api/") else ALWAYS
        response.headers.extend(
            (name, value) for name, value in wanted.items() if name.lower() not in own
        )
        return response
