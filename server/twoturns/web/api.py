"""
The API's frame: one shape of refusal, strict JSON in, OpenAPI 3.1 out.

flask-smorest's own error handler drops the exception's headers (a 405 without Allow), answers
in another shape, and the parser below it takes `NaN`; so all three are replaced here.
"""

import inspect
from collections.abc import Callable
from typing import Any, TypeVar, cast

import orjson
from apispec import APISpec
from apispec.ext.marshmallow import MarshmallowPlugin
from flask import Flask, Request, Response, request
from flask.json.provider import JSONProvider
from flask_smorest import Api, Blueprint
from marshmallow import RAISE, Schema
from webargs.flaskparser import FlaskParser
from werkzeug.exceptions import HTTPException, RequestEntityTooLarge

from twoturns import __version__
from twoturns.ledger.errors import LedgerError
from twoturns.store.errors import StoreError
from twoturns.web import cookie
from twoturns.web.answers import Answer
from twoturns.web.problems import Problem, Refused, listed, problem
from twoturns.words import t
from twoturns.words.en.web import api as texts

View = TypeVar("View", bound=Callable[..., object])

MAX_JSON_BYTES = 8 * 2**20
EXTENDS = "x-extends"  # which schema one goes on from: OpenAPI's own `allOf` would hide its members
PAGE = "page"  # the name of the scheme by which a customer asks
SESSION = "session"  # the name of the cookie's scheme in the description
_SESSION_DESCRIPTION = (
    "The cookie of a session (on loopback http a plain one). With it stand the roles that are let "
    "in; `revoked` is no role, but a device whose access was taken: it may still send."
)

# Our words for what the framework refuses by itself.
_OF_THE_FRAMEWORK = {
    400: ("bad-request", t(texts.BAD_REQUEST)),
    404: ("not-found", t(texts.NOT_FOUND)),
    405: ("method-not-allowed", t(texts.METHOD_NOT_ALLOWED)),
    406: ("not-acceptable", t(texts.NOT_ACCEPTABLE)),
    413: ("too-large", t(texts.BODY_TOO_LARGE)),
    415: ("wrong-content-type", t(texts.WRONG_CONTENT_TYPE)),
    416: ("bad-range", t(texts.BAD_RANGE)),
    422: ("invalid", t(texts.INVALID_FIELD)),
}

_FAULT = ("fault", t(texts.FAULT))


# Of answers that are no JSON of ours: they are what they hash to.
BYTES = {"type": "string", "format": "binary"}
PART = {"schema": BYTES, "description": "The part that `Range` asks for."}


class Form(Schema):
    """Base of every request body: a field we do not know is refused, by name."""

    class Meta:
        unknown = RAISE


class StrictParser(FlaskParser):
    """Reads a body as JSON proper: no `NaN`, no depth that breaks the reader."""

    def load_json(self, req: Request, schema: Schema) -> Any:  # noqa: ANN401 - any JSON value
        try:
            return orjson.loads(req.get_data())
        except orjson.JSONDecodeError as error:
            raise Refused("bad-request", t(texts.BODY_NOT_JSON, error=str(error))) from error


class Room(Blueprint):
    """One concern's routes below /api."""

    ARGUMENTS_PARSER = StrictParser()

    def __init__(self, name: str, description: str) -> None:
        super().__init__(name, name, url_prefix="/api", description=description)

    def arguments(self, schema: type[Schema], **kwargs: Any) -> Any:  # noqa: ANN401 - as in the base
        # Given the class, the parser makes a schema anew, with all it nests, for each request.
        return super().arguments(schema(), **kwargs)

    def gives(
        self, rule: str, answer: type[Answer], *, asked: type[Schema] | None = None
    ) -> Callable[[View], View]:
        """Register a view by GET: what it answers and, if anything, what its address may ask."""

        def registered(view: View) -> View:
            described = self.response(200, answer)(view)
            if asked is not None:
                described = self.arguments(asked, location="query")(described)
            return cast(View, self.route(rule, methods=["GET"])(described))

        return registered

    def takes(self, rule: str, asked: type[Form], answer: type[Answer]) -> Callable[[View], View]:
        """Register a view by POST: what its body asks, and what it answers with 200."""

        def registered(view: View) -> View:
            described = self.arguments(asked)(self.response(200, answer)(view))
            return cast(View, self.route(rule, methods=["POST"])(described))

        return registered


class Interface(Api):
    """The API. Every refusal, whoever raises it, leaves as a `Problem`."""

    ERROR_SCHEMA = Problem

    def handle_http_exception(self, error: HTTPException) -> Response:
        response = error.get_response()
        if response.status_code < 400:
            return cast(Response, response)  # "not modified" is raised, and is no refusal
        answer = problem(_refusal(error))
        for name in ("Allow", "Content-Range"):
            if name in response.headers:
                answer.headers[name] = response.headers[name]
        return answer


class WithWords(MarshmallowPlugin):
    """Describes a schema by its docstring, too, and by the answer that it goes on from."""

    def schema_helper(  # type: ignore[override]  # its base calls the second argument `_`, too
        self,
        name: str,
        _: object,
        schema: type[Schema] | Schema | None = None,
        **kwargs: object,
    ) -> Any:  # noqa: ANN401 - as in the base, which has no types
        inherited: Callable[..., Any] = super().schema_helper  # untyped in its library
        described = inherited(name, _, schema=schema, **kwargs)
        form = schema if isinstance(schema, type) else type(schema)
        words = form.__dict__.get("__doc__")
        return {
            **described,
            **({"description": inspect.cleandoc(words)} if words else {}),
            **self._base_of(form),
        }

    def _base_of(self, form: type) -> dict[str, str]:
        """Return the answer whose members this one has, too; it has a place of its own."""
        (base, *_) = form.__bases__
        if not issubclass(base, Answer) or base is Answer:
            return {}
        components = cast(APISpec, self.spec).components
        if base.__name__ not in components.schemas:
            components.schema(base.__name__, schema=base)
        return {EXTENDS: base.__name__}


class FastJson(JSONProvider):
    """JSON by orjson."""

    def dumps(self, obj: Any, **kwargs: Any) -> str:  # noqa: ANN401 - any JSON value
        return orjson.dumps(obj).decode()

    def loads(self, s: str | bytes, **kwargs: Any) -> Any:  # noqa: ANN401 - any JSON value
        return orjson.loads(s)


def configure(app: Flask) -> Interface:
    """Set the API up on an app: the description, the refusals, what a request must be like."""
    app.json = FastJson(app)
    app.config.update(
        API_TITLE=t(texts.API_TITLE),
        API_VERSION=__version__,
        OPENAPI_VERSION="3.1.0",
        OPENAPI_URL_PREFIX="/api",
        OPENAPI_JSON_PATH="openapi.json",
        MAX_CONTENT_LENGTH=MAX_JSON_BYTES,
    )
    description = (
        "What a workshop's server takes and tells. Formats: formats.md, sections 2 to 7.\n\n"
        f"Every refusal is a Problem with one of these codes:\n\n{listed()}"
    )
    interface = Interface(
        app, spec_kwargs={"info": {"description": description}, "marshmallow_plugin": WithWords()}
    )
    interface.spec.components.security_scheme(
        SESSION,
        {
            "type": "apiKey",
            "in": "cookie",
            "name": cookie.COOKIE,
            "description": _SESSION_DESCRIPTION,
        },
    )
    interface.spec.components.security_scheme(
        PAGE, {"type": "http", "scheme": "bearer", "description": t(texts.OF_CUSTOMERS)}
    )
    app.register_error_handler(Refused, problem)
    app.register_error_handler(LedgerError, _of_the_ledger)
    app.register_error_handler(StoreError, _of_the_store)
    app.before_request(_refuse_other_sites)
    app.before_request(_require_json)
    return interface


def _of_the_ledger(error: LedgerError) -> Response:
    return problem(Refused(error.code, str(error), hint=error.hint))


def _of_the_store(error: StoreError) -> Response:
    said = Refused(error.code, str(error), hint=error.hint, retry_after_s=error.retry_after_s)
    return problem(said)


def _refuse_other_sites() -> None:
    """A second lock beside SameSite=Strict and the content types no form can send."""
    if request.method in ("GET", "HEAD", "OPTIONS"):
        return
    if request.headers.get("Sec-Fetch-Site", "same-origin") not in ("same-origin", "none"):
        raise Refused("cross-site", t(texts.CROSS_SITE))


def _require_json() -> None:
    if (
        request.method == "POST"
        and request.path.startswith("/api/")
        and request.path != "/api/uploads"
        and request.mimetype != "application/json"
    ):
        raise Refused(
            "wrong-content-type",
            t(texts.BODY_TYPE, mimetype=request.mimetype or t(texts.UNTYPED)),
        )


def _refusal(error: HTTPException) -> Refused:
    messages = getattr(error, "data", {}).get("messages")
    if messages:
        where, what = _first_fault(messages)
        field = where.partition(".")[2] or where  # without whether it stands in the body or address
        return Refused("invalid", f"{field}: {what}", where=where)
    if isinstance(error, RequestEntityTooLarge):
        return Refused(
            "too-large",
            t(texts.BODY_OVER_LIMIT, max_content_length=str(request.max_content_length)),
        )
    code, message = _OF_THE_FRAMEWORK.get(error.code or 500, _FAULT)
    return Refused(code, message)


def _first_fault(messages: object, where: str = "") -> tuple[str, str]:
    """Return the place and text of the first fault in marshmallow's tree of messages."""
    if isinstance(messages, dict):
        name, inner = next(iter(messages.items()))
        return _first_fault(inner, f"{where}.{name}".strip("."))
    return where, str(messages[0] if isinstance(messages, list) else messages)
