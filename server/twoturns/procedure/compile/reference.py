"""
The reference of the language of procedures: `python -m twoturns.procedure.compile.reference`.

Writes `server/docs/reference.md` in the checkout this module stands in, from the schema, the
vocabulary, the fields of a drive and the house rules. A test fails when the page is not this.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, Final

from marshmallow import Schema, fields, validate

from twoturns.ledger.forms import DECIMAL, NAME
from twoturns.procedure.blocks.block import AskedSchema, BlockSchema
from twoturns.procedure.blocks.library import library
from twoturns.procedure.drive.fields import PARTS
from twoturns.procedure.language import schema, vocabulary
from twoturns.procedure.language.fields import Words
from twoturns.procedure.rules.house import Rule, actions_in, house_rules
from twoturns.words.en.procedure.compile import reference as words
from twoturns.words.en.procedure.drive.fields import FIELD

FILE: Final = Path(__file__).resolve().parents[4] / "server" / "docs" / "reference.md"
SCHEMAS: Final[dict[str, type[Schema]]] = {
    "procedure": schema.ProcedureSchema,
    "interval": schema.IntervalSchema,
    "conditions": schema.ConditionsSchema,
    "condition": schema.ConditionSchema,
    "step": schema.StepSchema,
    "caution": schema.CautionSchema,
    "picture": schema.PictureSchema,
    "crop": schema.CropSchema,
    "arrow": schema.ArrowSchema,
    "torque": schema.TorqueSchema,
    "proof": schema.ProofSchema,
    "option": schema.OptionSchema,
    "failure": schema.FailureSchema,
    "end": schema.EndSchema,
    "tool": schema.ToolSchema,
    "part": schema.KitSchema,
    "rule": schema.RuleSchema,
    "instead": schema.InsteadSchema,
    "source": schema.CitedSchema,
}
_HEAD: Final = """\
# Reference: the language of procedures

Written by `python -m twoturns.procedure.compile.reference`: change the schema, the vocabulary or
the rules, not this. How one writes a procedure is told in [writing.md](writing.md); what comes of
it in [formats.md](formats.md), section 6.

A procedure is a folder with `procedure.yaml` (YAML: no aliases, no tags) and its pictures. A *name*
is small letters, digits and `_`, a letter first. Numbers have a point and no unit. Text with a
comma, a colon or a brace in it is put into quotes.
"""
_BLOCKS: Final = """\
What is the same on every car is chosen under `blocks`, with what each asks for; what stands under
`fill_in` serves all that ask. `twoturns procedure blocks NAME` tells what one asks and which steps
it brings. Under `steps` stands the order: a step's name, several in brackets, or one with something
otherwise (`step: NAME`, `leave_out: [proof.NAME, fails.ID, asks.CONDITION, because]`). What the
procedure says goes over what a block says, key by key. A list whose members have an `id` or a
`name` (`fails: [{id: mine, ...}]`) is merged: members that the block has too are changed, new ones
put at the end, all others stay. An empty list (`fails: []`) removes them all; every other list is
replaced. `twoturns procedure blocks NAME --full` prints a block's text with its line numbers, and
so the ids. A block of one's own is a file `NAME.yaml` in the folder `blocks` beside the procedure.
"""
_RULES: Final = """\
Each holds for every procedure that does what it names. What it asks for must be a condition of the
procedure, with these values; or stands under `absent` with the reason. `fixed`: no word takes its
place. A workshop that takes a rule otherwise in all its procedures says so under `instead` in
`house.yaml` in its folder.
"""


def page() -> str:
    """Return the page."""
    return (
        "\n".join(
            [_HEAD, *_keys(), *_blocks(), *_drive(), *_words(), *_rules(house_rules())]
        ).rstrip()
        + "\n"
    )


def _keys() -> Iterator[str]:
    yield "## Keys\n"
    for name, kept in SCHEMAS.items():
        yield f"### {words.PART[name]}\n"
        yield from _table(["key", "form", "must be there", ""])
        for key, field in kept().fields.items():
            must = "yes" if field.required else ""
            yield _row([f"`{key}`", _form(field), must, words.KEY[f"{name}.{key}"]])
        yield ""
    yield from _table(["kind of proof", "needs", "may have"])
    for kind, (needed, allowed) in schema.PROOF_FIELDS.items():
        yield _row([f"`{kind}`", _code(sorted(needed)), _code(sorted(allowed))])
    yield ""


def _form(field: fields.Field[Any]) -> str:
    """Return what a field takes, in a few words."""
    if isinstance(field, fields.Nested):
        return _named(type(field.schema))
    if isinstance(field, fields.List):
        return f"list of {_form(field.inner)}"
    if isinstance(field, fields.Dict):
        return f"by name: {_form(field.value_field)}"  # type: ignore[arg-type]  # each of ours has one
    if isinstance(field, Words):
        return f"text, at most {field.most}"
    chosen = next((one for one in field.validators if isinstance(one, validate.OneOf)), None)
    if chosen is not None:
        return " or ".join(f"`{one}`" for one in chosen.choices)
    return _FORMS.get(type(field).__name__, _SHAPES.get(getattr(field, "shape", ""), "text"))


def _named(kind: type[Schema]) -> str:
    name = next(name for name, kept in SCHEMAS.items() if kept is kind)
    return words.PART[name][:1].lower() + words.PART[name][1:]


_FORMS: Final = {
    "Whole": "whole number",
    "YesNo": "`yes` or `no`",
    "OneOrMore": "a name, or a list of names",
    "Verbatim": "the drive",
}
_SHAPES: Final = {
    NAME: "name",
    DECIMAL: "number",
    schema.DEED: "action or `condition=value`",
    schema.DATE: "day",
}


def _blocks() -> Iterator[str]:
    yield "## Blocks\n"
    yield _BLOCKS
    for kind in (BlockSchema, AskedSchema):
        name = "block" if kind is BlockSchema else "asked"
        yield f"### {words.PART[name]}\n"
        yield from _table(["key", "must be there", ""])
        for key, field in kind().fields.items():
            must = "yes" if field.required else ""
            said = words.KEY.get(f"{name}.{key}", words.AS_IN_A_PROCEDURE)
            yield _row([f"`{key}`", must, said])
        yield ""
    yield from _table(["block of the library", ""])
    for block in library().values():
        yield _row([f"`{block.id}`", block.name])
    yield ""


def _drive() -> Iterator[str]:
    yield "## The drive\n"
    for name, part in PARTS.items():
        yield f"### `{name}`\n"
        yield from _table(["key", "must be there", ""])
        given = {need: by for by, needs in (part.given or {}).items() for need in needs}
        alone = {field for word in part.must if "|" not in word for field in [word]}
        for field in FIELD:
            if not field.startswith(f"{name}."):
                continue
            key = field.partition(".")[2]
            either = next((word for word in part.must if key in word.split("|")), "")
            must = "yes" if key in alone else f"with `{given[key]}`" if key in given else ""
            if "|" in either:
                must = " or ".join(f"`{one}`" for one in either.split("|"))
            yield _row([f"`{key}`", must, FIELD[field]])
        yield ""


def _words() -> Iterator[str]:
    yield "## Words\n"
    yield from _table(["what", "words"])
    yield _row(["signs", _code(vocabulary.SIGNS)])
    yield _row(["drawings", _code(vocabulary.DRAWINGS)])
    yield _row(["outlines of tools", _code(vocabulary.OUTLINES)])
    tools = ", ".join(f"`{tool}` ({unit})" for tool, unit in vocabulary.TOOL_UNITS.items())
    yield _row(["types of tool, and what each reads in", tools])
    yield _row(["units of readings", _code(vocabulary.READING_UNITS)])
    yield _row(["unit of a wait", _code([vocabulary.WAIT_UNIT])])
    ways = ", ".join(f"`{way}` ({' or '.join(of)})" for way, of in schema.INSTRUMENT_UNITS.items())
    yield _row(["instruments (`by`) and their units", f"{ways}, `hand`"])
    yield _row(["actions", _code(sorted(actions_in(house_rules())))])
    yield ""


def _rules(rules: Sequence[Rule]) -> Iterator[str]:
    yield "## House rules\n"
    yield _RULES
    yield from _table(["rule", "never", "doing", "unless", "because"])
    for rule in rules:
        fixed = "" if rule.adaptable else ", fixed"
        unless = [
            f"`{word}`: {' or '.join(f'`{v}`' for v in values)}" for word, values in rule.unless
        ]
        yield _row(
            [
                f"`{rule.id}` ({rule.kind}{fixed})",
                rule.never,
                _code(rule.doing),
                "; ".join(unless) or "never",
                rule.because,
            ]
        )


def _table(heads: Sequence[str]) -> list[str]:
    return [_row(heads), _row(["---"] * len(heads))]


def _row(cells: Sequence[str]) -> str:
    return f"| {' | '.join(cells)} |"


def _code(listed: Sequence[str]) -> str:
    return ", ".join(f"`{one}`" for one in listed)


if __name__ == "__main__":
    FILE.write_text(page(), encoding="utf-8")
