"""
Answers held against the API's own description, by a JSON Schema validator that is not ours
(`jsonschema-rs`, Draft 2020-12, which OpenAPI 3.1 takes its schemas from).

Every client of the tests asks it (`workshop.Client`): what a schema calls required is in each
answer of each route that any test asks.
"""

import re
from functools import cache

from flask import Flask
from jsonschema_rs import Draft202012Validator
from werkzeug.test import TestResponse

from twoturns.web.app import description

_described: dict[str, object] = {}  # the same of every app: made once in a process


def as_described(app: Flask, answer: TestResponse) -> TestResponse:
    """Return an answer as it came, once its description bears it out: of JSON that went well."""
    said = answer.request
    if answer.status_code in (200, 201) and answer.is_json and said.path.startswith("/api/"):
        _described or _described.update(description())
        path = _path(app, said.path, said.method)
        if path in _described["paths"]:
            _validator(path, said.method.lower(), answer.status_code)(answer.json)
    return answer


def _path(app: Flask, path: str, method: str) -> str:
    """Return the path of a request as the description writes it."""
    rule, _ = app.url_map.bind("localhost").match(path, method, return_rule=True)
    return re.sub(r"<(?:\w+:)?(\w+)>", r"{\1}", rule.rule)


@cache
def _validator(path: str, method: str, status: int):
    said = _described["paths"][path][method]["responses"][str(status)]
    schema = said["content"]["application/json"]["schema"]
    whole = {**schema, "components": _described["components"]}
    return Draft202012Validator(whole).validate
