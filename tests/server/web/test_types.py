"""The phone's types of what the server answers are those of the API's own description."""

import pytest

from twoturns.web import types
from twoturns.web.app import description
from workshop import Workshop, clients


def test_the_phones_file_is_what_the_description_makes():
    """If this fails: python -m twoturns.web.types, in server/."""
    assert types.FILE.read_text() == types.source(description())


def test_a_workshop_serves_that_very_description(tmp_path):
    workshop = Workshop(tmp_path / "data")
    served = clients(workshop)(workshop.enrol("owner")).get("/api/openapi.json").json
    assert served == description()


def test_every_answer_says_what_it_is():
    """One that has no content says what its headers are, or is the end of a session."""
    told_by_status = {"DELETE /api/session"}
    for path, operations in description()["paths"].items():
        for method, operation in operations.items():
            if method == "parameters":
                continue
            label = f"{method.upper()} {path}"
            good = [one for code, one in operation["responses"].items() if code.startswith("2")]
            assert good, label
            for answer in good:
                schemas = [one.get("schema") for one in answer.get("content", {}).values()]
                assert (
                    (all(schemas) and schemas) or answer.get("headers") or label in told_by_status
                ), label


def test_every_schema_says_what_it_is_of():
    frameworks = {"PaginationMetadata"}
    schemas = description()["components"]["schemas"]
    assert not [
        name for name in schemas.keys() - frameworks if not schemas[name].get("description")
    ]


def test_what_an_answer_may_leave_out_or_be_null_stays_so():
    """Against JSON Schema 2020-12: `required` 6.5.3, `type` 6.1.1, `enum` 6.1.2."""
    row = {
        "type": "object",
        "required": ["one", "several"],
        "properties": {
            "one": {"type": ["string", "null"], "description": "Said."},
            "several": {"type": "array", "items": {"enum": ["a", "b"]}},
            "named": {"type": "object", "additionalProperties": {"type": "integer"}},
            "maybe": {"anyOf": [{"$ref": "#/components/schemas/Other"}, {"type": "null"}]},
        },
    }
    other = {"type": "object", "required": [], "properties": {"yes": {"type": "boolean"}}}
    body = {"application/json": {"schema": {"$ref": "#/components/schemas/Row"}}}
    document = {
        "paths": {"/row": {"get": {"responses": {"200": {"content": body}}}}},
        "components": {"schemas": {"Row": row, "Other": other, "Asked": other}, "responses": {}},
    }
    text = types.source(document)
    assert text.endswith(
        """
export interface Other {
  yes?: boolean
}

export interface Row {
  /** Said. */
  one: string | null
  several: ('a' | 'b')[]
  named?: Record<string, number>
  maybe?: Other | null
}
"""
    )
    document["components"]["schemas"]["Row"] = {
        "x-extends": "Other",
        "properties": {**other["properties"], "more": {"type": "string"}},
        "required": ["more"],
    }
    assert types.source(document).endswith(
        """
export interface Other {
  yes?: boolean
}

export interface Row extends Other {
  more: string
}
"""
    )
    document["components"]["schemas"]["Row"] = row
    row["properties"]["one"] = {"type": "object"}
    with pytest.raises(ValueError, match="new here"):
        types.source(document)
