"""
The phone's half of what the server answers, out of the OpenAPI document: `python -m
twoturns.web.types`.

Writes `client/src/ledger/answers.ts` in the checkout this module stands in. A test fails when the
file there is not what this would write.

A library would do (openapi-typescript 7 was tried): 30 packages of 44 MB for 1,444 lines, of which
the phone needs the 200 that say what an answer is like.
"""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from twoturns.web.api import EXTENDS
from twoturns.web.app import description

FILE = Path(__file__).resolve().parents[3] / "client" / "src" / "ledger" / "answers.ts"
_OPENING = """\
/**
 * What the workshop's server answers.
 * Written by `python -m twoturns.web.types`: change the schemas in web/, not this.
 */
"""
_SIMPLE = {
    "string": "string",
    "integer": "number",
    "number": "number",
    "boolean": "boolean",
    "null": "null",
}

Form = dict[str, Any]  # of JSON Schema, as OpenAPI 3.1 has it


def source(document: Form) -> str:
    """Return the text of `answers.ts`: an interface for each schema that some answer is made of."""
    schemas: dict[str, Form] = document["components"]["schemas"]
    names: dict[str, None] = {}
    for form in _answered(document):
        _collect(form, schemas, names)
    return _OPENING + "".join(f"\n{_interface(name, schemas)}" for name in names)


def _answered(document: Form) -> Iterator[Form]:
    """Yield the form of every answer, refusals among them."""
    for path in document["paths"].values():
        for operation in path.values():
            responses = operation.get("responses", {}) if isinstance(operation, dict) else {}
            for response in responses.values():
                for content in response.get("content", {}).values():
                    yield content.get("schema", {})
    for response in document["components"]["responses"].values():
        yield from (content["schema"] for content in response.get("content", {}).values())


def _collect(form: object, schemas: dict[str, Form], names: dict[str, None]) -> None:
    """Note the schemas that a form is made of, each behind those that it is made of itself."""
    if isinstance(form, list):
        for part in form:
            _collect(part, schemas, names)
    elif isinstance(form, dict):
        named = form.get(EXTENDS) or ("$ref" in form and _name(form))
        if named and named not in names:
            _collect(schemas[named], schemas, names)
            names[named] = None
        for part in form.values():
            _collect(part, schemas, names)


def _interface(name: str, schemas: dict[str, Form]) -> str:
    schema = schemas[name]
    base = schema.get(EXTENDS)
    theirs = schemas[base]["properties"] if base else {}
    required = schema.get("required", ())
    members = []
    for member, form in schema["properties"].items():
        if theirs.get(member) == form:
            continue
        said = _comment(form, "  ")
        members.append(f"{said}  {member}{'' if member in required else '?'}: {_type(form)}\n")
    goes_on = f" extends {base}" if base else ""
    return f"{_comment(schema)}export interface {name}{goes_on} {{\n{''.join(members)}}}\n"


def _comment(form: Form, indent: str = "") -> str:
    says = " ".join(form.get("description", "").split())
    return f"{indent}/** {says} */\n" if says else ""


def _type(form: Form) -> str:
    """
    Return the TypeScript type of a form.

    Raises:
        ValueError: If it is of a kind that no answer had yet: nothing becomes `unknown` unseen.
    """
    kind = form.get("type")
    if "$ref" in form:
        return _name(form)
    if "enum" in form:
        return " | ".join("null" if one is None else repr(one) for one in form["enum"])
    if "anyOf" in form:
        return " | ".join(_type(one) for one in form["anyOf"])
    if isinstance(kind, list):
        return " | ".join(_SIMPLE[one] for one in kind)
    if kind == "array":
        items = _type(form["items"])
        return f"({items})[]" if " " in items else f"{items}[]"
    if kind == "object" and "additionalProperties" in form:
        return f"Record<string, {_type(form['additionalProperties'])}>"
    if kind in _SIMPLE:
        return _SIMPLE[kind]
    raise ValueError(f"an answer of a kind that is new here: {json.dumps(form)}")


def _name(form: Form) -> str:
    return str(form["$ref"]).rpartition("/")[2]


if __name__ == "__main__":
    FILE.write_text(source(description()), encoding="utf-8")
