"""
The phone's half of the bodies, out of the schemas: `python -m twoturns.ledger.types`.

Writes `client/src/ledger/bodies.ts` in the checkout this module stands in: the types, and the
checks as data. A test fails when the file there is not what this would write.
"""

import json
import re
from pathlib import Path
from typing import Any

from marshmallow import fields

from .bodies import BODIES, EDITION, JOB_KINDS
from .bodies_of_workshops import ROLES
from .fields import BodySchema

FILE = Path(__file__).resolve().parents[3] / "client" / "src" / "ledger" / "bodies.ts"
_OPENING = """\
/**
 * What each kind of entry says.
 * Written by `python -m twoturns.ledger.types`: change bodies.py, not this.
 */
import type { Form, ObjectForm } from './body-form'
"""
_FORMS = """\
/** The checks, as data: `checkBody` in forms.ts runs them. Those of a job's entries. */
export const jobForms = {"""
_ALL = "export const bodyForms: Record<Kind, ObjectForm> = { ...jobForms, ...workshopForms }"


def source() -> str:
    """Return the text of `bodies.ts`."""
    interfaces: dict[str, str] = {}
    kinds = [f"  '{kind}': {_named(schema, interfaces)}" for kind, schema in BODIES.items()]
    named: dict[str, str] = {}
    forms = {kind: f"  '{kind}': {_object_form(one, named)}," for kind, one in BODIES.items()}
    of_jobs = [form for kind, form in forms.items() if kind in JOB_KINDS]
    of_workshops = [form for kind, form in forms.items() if kind not in JOB_KINDS]
    parts = [
        [_OPENING],
        ["\n\n".join(interfaces.values()), ""],
        ["export interface Bodies {", *kinds, "}", ""],
        ["export type Kind = keyof Bodies", "export type Body<K extends Kind> = Bodies[K]"],
        [f"export type Role = {' | '.join(map(repr, ROLES))}", ""],
        ["/** The newest edition of kinds and fields that this program knows. */"],
        [f"export const EDITION = {EDITION}", ""],
        ["export type JobKind = keyof typeof jobForms", ""],
        [*(f"const {name}: Form = {form}" for form, name in named.items()), ""],
        [_FORMS, *of_jobs, "} satisfies Partial<Record<Kind, ObjectForm>>", ""],
        ["const workshopForms = {", *of_workshops, "}", ""],
        [_ALL, ""],
    ]
    return "\n".join(line for part in parts for line in part)


def _named(schema: type[BodySchema], interfaces: dict[str, str]) -> str:
    """Return the name of a schema's interface, written once before those that use it."""
    name = schema.__name__.removesuffix("Schema")
    if name not in interfaces:
        (base, *_) = schema.__bases__
        is_more = issubclass(base, BodySchema) and base is not BodySchema
        goes_on = f" extends {_named(base, interfaces)}" if is_more else ""
        theirs = base().fields if is_more else {}
        members = [
            f"  {field_name}{'' if field.required else '?'}: {_type(field, interfaces)}"
            for field_name, field in schema().fields.items()
            if field_name not in theirs
        ]
        says = re.sub(r"\s+", " ", schema.__doc__ or "").strip()
        # An empty interface would take any object: a body that says nothing has no members.
        shape = (
            f"interface {name}{goes_on} {{\n" + "\n".join(members) + "\n}"
            if members
            else f"type {name} = Record<string, never>"
        )
        interfaces[name] = f"/** {says} */\nexport {shape}"
    return name


def _type(field: fields.Field[Any], interfaces: dict[str, str]) -> str:
    if isinstance(field, fields.List):
        return f"{_type(field.inner, interfaces)}[]"
    if isinstance(field, fields.Nested):
        return _named(_schema_of(field), interfaces)
    if isinstance(field, fields.Integer):
        return "number"
    choices = field.metadata.get("choices")
    return " | ".join(map(repr, choices)) if choices else "string"


def _object_form(schema: type[BodySchema], named: dict[str, str]) -> str:
    """Return the check of an object as code; its members' checks are given names in `named`."""
    members = schema().fields
    code = {
        name if field.required else f"{name}?": _form(field, named)
        for name, field in members.items()
    }
    any_of = {"any_of": _as_json(schema.any_of)} if schema.any_of else {}
    return _as_object({"members": _as_object(code), **any_of})


def _form(field: fields.Field[Any], named: dict[str, str]) -> str:
    """Return the name of a field's check: what many ask is evaluated once on a phone."""
    if isinstance(field, fields.Nested):
        form = _as_object({"object": _object_form(_schema_of(field), named)})
    else:
        # What is expected of any other form the phone says by the form.
        said = {
            name: _as_json(value)
            for name, value in field.metadata.items()
            if name != "expected" or "pattern" in field.metadata
        }
        inner = {"list": _form(field.inner, named)} if isinstance(field, fields.List) else {}
        form = _as_object({**inner, **said})
    return named.setdefault(form, f"form{len(named) + 1}")


def _schema_of(field: fields.Nested) -> type[BodySchema]:
    schema = type(field.schema)
    assert issubclass(schema, BodySchema)  # noqa: S101 - all of this room's are
    return schema


def _as_object(members: dict[str, str]) -> str:
    return "{" + ",".join(f"{_as_json(name)}:{code}" for name, code in members.items()) + "}"


def _as_json(value: object) -> str:
    return json.dumps(value, separators=(",", ":"))


if __name__ == "__main__":
    FILE.write_text(source(), encoding="utf-8")
