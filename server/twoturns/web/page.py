"""
The page of the API's routes, made of its own description: `server/docs/http.md`.

Run as a program it writes the page. What the page lacks is said where the route is: in the view's
docstring, in the schema's, or in a field's `description`.
"""

from pathlib import Path
from typing import Any

from twoturns.web.app import description

FILE = Path(__file__).resolve().parents[2] / "docs" / "http.md"
_OPENING = """\
# HTTP

Written by `python -m twoturns.web.page` from the API's own description (`/api/openapi.json`,
OpenAPI 3.1): change the views and their schemas, not this page. What a request carries, who sees
what, and how much one device may take: [formats.md](formats.md), section 7. A member with a
question mark may be absent.
"""
_METHODS = ("options", "head", "get", "post", "put", "patch", "delete")
_TYPES = {"string": "text", "boolean": "true or false"}


def page(said: dict[str, Any]) -> str:
    """Return the page of an OpenAPI document, in Markdown."""
    schemas = _used(said)
    return "\n".join(
        [
            _OPENING,
            *(part for tag in said["tags"] for part in _room(tag, said["paths"])),
            "## Forms\n",
            *(_schema(name, said["components"]["schemas"][name]) for name in schemas),
            "## Refusals\n",
            said["info"]["description"].partition("\n\n")[2],
            "",
        ]
    )


def _room(tag: dict[str, str], paths: dict[str, Any]) -> list[str]:
    found = [
        _operation(method, path, routes)
        for path, routes in paths.items()
        for method in _METHODS
        if method in routes and routes[method]["tags"] == [tag["name"]]
    ]
    return [f"## {tag['description']}\n", *found]


def _operation(method: str, path: str, routes: dict[str, Any]) -> str:
    said = routes[method]
    words = [_line(said[name]) for name in ("summary", "description") if name in said]
    parts = [*routes.get("parameters", []), *said.get("parameters", [])]
    answers = [_answer(status, answer) for status, answer in sorted(said["responses"].items())]
    bullets = [
        f"- asked by: {_askers(said.get('security', []))}",
        *(f"- {_parameter(part)}" for part in parts if "$ref" not in part),
        *(f"- body: {_form(_content(said['requestBody']))}" for _ in said.keys() & {"requestBody"}),
        *(f"- {answer}" for answer in answers if answer),
    ]
    return "\n".join([f"### `{method.upper()} {path}`\n", "\n\n".join(words), "", *bullets, ""])


def _askers(security: list[dict[str, list[str]]]) -> str:
    roles = [role for scheme in security for names in scheme.values() for role in names]
    return ", ".join(roles) or "anyone"


def _parameter(part: dict[str, Any]) -> str:
    words = part.get("description") or part["schema"].get("description", "")
    default = part["schema"].get("default")
    absent = f"; absent: `{default}`" if default not in (None, "") else ""
    form = f"{part['in']} `{part['name']}`: {_form(part['schema'])}{absent}"
    return f"{form}. {words}".rstrip(". ") + "."


def _answer(status: str, said: dict[str, Any]) -> str | None:
    """Return what is answered; refusals stand at the page's end, for all routes."""
    if "$ref" in said:
        return "304: nothing has changed" if said["$ref"].endswith("NOT_MODIFIED") else None
    content = said.get("content", {})
    kinds = [_form(kind["schema"]) if "schema" in kind else name for name, kind in content.items()]
    words = [] if status in ("200", "201", "204") and kinds else [said["description"].rstrip(".")]
    return f"{status}: {', '.join([*words, *kinds])}"


def _content(said: dict[str, Any]) -> dict[str, object]:
    (kind,) = said["content"].values()
    schema: dict[str, Any] = kind["schema"]
    return schema


def _schema(name: str, said: dict[str, Any]) -> str:
    needed = said.get("required", [])
    words = [said["description"], ""] if "description" in said else []
    rows = [
        f"| `{member}`{'' if member in needed else '?'} | {_form(form)} | {_line(_words(form))} |"
        for member, form in said["properties"].items()
    ]
    head = ["| member | form | |", "| --- | --- | --- |"]
    return "\n".join([f"### {name}\n", *words, *head, *rows, ""])


def _words(form: dict[str, Any]) -> str:
    words: str = form.get("description", "")
    return words


def _form(said: dict[str, Any]) -> str:
    """Return a JSON schema in a few words, those of its member's description aside."""
    if "$ref" in said:
        name: str = said["$ref"].rpartition("/")[2]
        return f"[{name}](#{name.lower()})"
    if "anyOf" in said:
        return " or ".join(_form(one) for one in said["anyOf"])
    if "enum" in said:
        return " or ".join(f"`{one}`" for one in said["enum"])
    if isinstance(said.get("type"), list):
        return " or ".join(_form({**said, "type": one}) for one in said["type"])
    if said["type"] == "array":
        most = f", at most {said['maxItems']}" if "maxItems" in said else ""
        return f"list of {_form(said['items'])}{most}"
    if said.get("format") == "binary":
        return "bytes"
    if said["type"] == "object" and "additionalProperties" not in said:
        return str(said["title"])
    if said["type"] == "object":
        return f"for each name: {_form(said['additionalProperties'])}"
    kind: str = said["type"]
    return _TYPES.get(kind, kind) + _bounds(said)


def _bounds(said: dict[str, Any]) -> str:
    if "pattern" in said:
        return f" as `{said['pattern'].replace('|', chr(92) + '|')}`"
    if "maxLength" in said:
        return f" of {said.get('minLength', 0)} to {said['maxLength']} characters"
    if "maximum" in said:
        return f" from {said['minimum']} to {said['maximum']}"
    return ""


def _used(said: dict[str, Any]) -> list[str]:
    """Return the names of the forms that some route or form of a route points to, in order."""
    schemas: dict[str, Any] = said["components"]["schemas"]
    found: list[str] = []
    waiting = [*_pointed(said["paths"]), *_pointed(said["components"]["responses"])]
    while waiting:
        name = waiting.pop(0)
        if name not in found:
            found.append(name)
            waiting += _pointed(schemas[name])
    return [name for name in schemas if name in found]


def _pointed(said: object) -> list[str]:
    if isinstance(said, dict):
        here = [said["$ref"].rpartition("/")[2]] if "/schemas/" in said.get("$ref", "") else []
        return here + [name for inner in said.values() for name in _pointed(inner)]
    return [name for inner in said for name in _pointed(inner)] if isinstance(said, list) else []


def _line(text: str) -> str:
    return " ".join(text.split()) if "\n\n" not in text else text


if __name__ == "__main__":
    FILE.write_text(page(description()), encoding="utf-8")
