"""
The fields of a bundle by name, for the phone: `python -m twoturns.procedure.compile.known_fields`.

Writes `client/src/procedure/known.ts` in the checkout this module stands in. With it an app tells
a bundle of a later form from one that it may work by. A test fails when the file is not this.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from marshmallow import Schema, fields

from twoturns.procedure.compile.form import FORM, BundleSchema

FILE = Path(__file__).resolve().parents[4] / "client" / "src" / "procedure" / "known.ts"
_OPENING = """\
/**
 * The fields of a bundle that this app knows.
 * Written by `python -m twoturns.procedure.compile.known_fields`: change form.py, not this.
 */
export interface Fields {
  readonly [name: string]: Fields | true
}

"""


def source() -> str:
    """Return the text of `known.ts`."""
    known = json.dumps(_names(BundleSchema()), separators=(",", ":"))
    return f"{_OPENING}export const FORM = {FORM}\n\nexport const bundleFields: Fields = {known}\n"


def _names(form: Schema) -> dict[str, Any]:
    return {
        name: _names(field.schema) if isinstance(field, fields.Nested) else True
        for name, field in form.fields.items()
    }


if __name__ == "__main__":
    FILE.write_text(source(), encoding="utf-8")
