"""
The words of a procedure's source and of the house rules, as marshmallow schemas.

`load` gives plain data with every optional part filled in, or all faults at their lines. What
needs more than one field to judge (a step that names a condition) is `compile`'s to find.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, get_args

from marshmallow import RAISE, Schema, ValidationError, fields, validate, validates_schema

from twoturns.ledger.forms import NAME, is_formed
from twoturns.procedure import shape
from twoturns.procedure.errors import SourceError, SourceErrors, nearest
from twoturns.procedure.language.fields import (
    HINTS,
    OneOrMore,
    Shaped,
    Verbatim,
    Whole,
    Words,
    YesNo,
    a_decimal,
    a_name,
    named,
    several,
)
from twoturns.procedure.language.source import Document, Path, Source
from twoturns.words import t
from twoturns.words.en.procedure.language import fields as field_texts
from twoturns.words.en.procedure.language import schema as texts

MOVE = rf"{NAME}={NAME}"
DEED = rf"{NAME}(={NAME})?"
DATE = r"[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])"
LIKE = rf"{NAME}\.{NAME}"
PICTURE = r"[a-z0-9][a-z0-9_-]{0,63}\.(jpg|png|webp)"

PICTURE_TYPES: dict[str, shape.PictureType] = {
    "jpg": "image/jpeg",
    "png": "image/png",
    "webp": "image/webp",
}
PROOF_KINDS = get_args(shape.ProofKind)
# The phone's instruments and their units; `hand` is the eye and the mechanic's own tool.
INSTRUMENT_UNITS = {"pluck": ("Hz",), "marks": ("teeth",), "turn": ("°", "turns")}
WAYS = get_args(shape.Way)
# What a count may be of: then the screen lists the things by name, to be ticked one by one.
COUNTED = get_args(shape.Counted)
LEAST_CROP_PERCENT = 5
TITLE_LENGTH = 48  # two lines of 31 px on a phone 360 px wide

# What a message means (its stable code) and what to do about it.
_HINTS = {
    **HINTS,
    t(texts.IS_MISSING): ("missing", t(texts.IS_MISSING_HINT)),
    t(texts.NOT_DATE): ("date", t(texts.DATE_FORM)),
    t(texts.NOT_MOVE): ("move", t(texts.VALUE_FORM)),
    t(texts.NOT_CONDITION): ("absent", t(texts.CONDITION_FORM)),
    t(texts.NOT_DEED): ("deed", t(texts.DEED_FORM)),
    t(texts.NOT_PROOF): ("like", t(texts.PROOF_FORM)),
    t(texts.NONE_WRITTEN): ("empty", t(texts.NONE_WRITTEN_HINT)),
    t(texts.NOT_SO_MANY_VALUES): ("values", t(texts.NOT_SO_MANY_VALUES_HINT)),
    t(texts.NOT_PICTURE_NAME): ("picture", t(texts.PICTURE_NAME_FORM)),
}
AT_LEAST_ONE = validate.Length(1, error=t(texts.NONE_WRITTEN))
_NO_HINT = ("value", t(texts.SEE_EXAMPLE))


class Part(Schema):
    """A mapping of the source: a field that is not known is a slip of the pen."""

    class Meta:
        unknown = RAISE

    error_messages = {"type": t(field_texts.NOT_MAPPING), "unknown": t(texts.NOT_KNOWN_HERE)}  # noqa: RUF012 - as form.py


class RuleSchema(Part):
    """Never be `doing` this unless every condition of `unless` has one of its values."""

    kind = fields.String(required=True, validate=validate.OneOf(["stop", "ask"]))
    never = Words(required=True)
    doing = several(
        Shaped(DEED, t(texts.NOT_DEED)),
        required=True,
        validate=AT_LEAST_ONE,
    )
    unless = named(OneOrMore(), load_default=dict)
    because = Words(required=True)


class HouseRuleSchema(RuleSchema):
    """
    A rule of the house: its source, or that it has none; whether a maker may ask for another order.
    """

    source = Words(400, required=True)
    adaptable = YesNo(load_default=True)


class RulesSchema(Part):
    """A file of house rules."""

    rules = named(fields.Nested(HouseRuleSchema), required=True)


class CitedSchema(Part):
    """Where a maker says it: so that whoever doubts it can look."""

    document = Words(200, required=True)
    edition = Words(64, required=True)
    page = Words(32, required=True)
    date = Shaped(DATE, t(texts.NOT_DATE), required=True)


class InsteadSchema(Part):
    """
    What holds in place of a house rule: a rule in the same language. `doing` is the house rule's,
    and what is listed here besides; `kind` is the house rule's. `says`: what the maker asks for.
    """

    never = Words(required=True)
    doing = several(Shaped(DEED, t(texts.NOT_DEED)), load_default=list)
    unless = named(OneOrMore(), required=True, validate=AT_LEAST_ONE)
    because = Words(required=True)
    says = Words(300, required=True)
    why = Words(400, required=True)
    source = fields.Nested(CitedSchema, required=True)


class WorkshopSchema(Part):
    """What a workshop takes otherwise in all its procedures that need it: by house rule."""

    instead = named(fields.Nested(InsteadSchema), required=True, validate=AT_LEAST_ONE)


class ConditionSchema(Part):
    """One variable of the engine, or of proof: its values and the words that say each."""

    label = Words(64, required=True)
    values = named(
        Words(200),
        required=True,
        validate=validate.Length(2, 30, error=t(texts.NOT_SO_MANY_VALUES)),
    )
    start = a_name()
    behind = several(a_name(), load_default=list)


class ConditionsSchema(Part):
    engine = named(fields.Nested(ConditionSchema), required=True)
    proof = named(fields.Nested(ConditionSchema), load_default=dict)


class CautionSchema(Part):
    sign = a_name(required=True)
    says = Words(400, required=True)


class CropSchema(Part):
    left_percent = Whole(required=True)
    top_percent = Whole(required=True)
    width_percent = Whole(required=True)
    height_percent = Whole(required=True)

    @validates_schema
    def lies_within(self, data: Source, **_: object) -> None:
        """What is shown can be made out, and lies on the picture."""
        for begins, long in (("left_percent", "width_percent"), ("top_percent", "height_percent")):
            if data[long] < LEAST_CROP_PERCENT or data[begins] + data[long] > 100:
                raise ValidationError(t(texts.CROP_OUTSIDE, least=LEAST_CROP_PERCENT), long)


class ArrowSchema(Part):
    x_percent = Whole(required=True)
    y_percent = Whole(required=True)
    angle_deg = Whole(required=True)

    @validates_schema
    def lies_within(self, data: Source, **_: object) -> None:
        """The tip is on the picture, and a whole turn has 360 degrees."""
        for field_name, most in (("x_percent", 100), ("y_percent", 100), ("angle_deg", 359)):
            if data[field_name] > most:
                raise ValidationError(t(texts.ARROW_OUTSIDE, most=most), field_name)


class PictureSchema(Part):
    asset = Shaped(PICTURE, t(texts.NOT_PICTURE_NAME), required=True)
    crop = fields.Nested(CropSchema)
    arrow = fields.Nested(ArrowSchema)
    says = Words(64)


class TorqueSchema(Part):
    nm = a_decimal(required=True)
    angle_deg = a_decimal()
    sequence = several(Words(64), load_default=list)


class OptionSchema(Part):
    id = a_name(required=True)
    says = Words(200, required=True)
    ok = YesNo(load_default=True)
    finding = YesNo(load_default=False)
    permit = a_name()

    @validates_schema
    def can_be_given(self, data: Source, **_: object) -> None:
        """An answer that proves nothing is never kept: what it finds is a failure's to say."""
        if data["finding"] and not data["ok"]:
            raise ValidationError(t(texts.FINDING_NEVER_KEPT), "finding")


class ProofSchema(Part):
    """What a step asks for before it may be called done."""

    name = a_name(required=True)
    kind = fields.String(required=True, validate=validate.OneOf(PROOF_KINDS))
    label = Words(120, required=True)
    unit = Words(16)
    low = a_decimal()
    high = a_decimal()
    target = a_decimal()
    tool = a_name()
    options = several(fields.Nested(OptionSchema))
    part = a_name()
    hint = Words(400)
    by = several(fields.String(validate=validate.OneOf(WAYS)), validate=AT_LEAST_ONE)
    of = fields.String(validate=validate.OneOf(COUNTED))
    wheel = a_name()
    like = Shaped(LIKE, t(texts.NOT_PROOF))

    @validates_schema
    def fits_its_instruments(self, data: Source, **_: object) -> None:
        """Each way stands once, and reads in the proof's unit, between two limits."""
        ways = data.get("by", [])
        if len(set(ways)) < len(ways):
            raise ValidationError(t(texts.WAY_TWICE), "by")
        if "hand" in ways[:-1]:
            raise ValidationError(t(texts.WAY_AFTER_HAND), "by")
        for way in INSTRUMENT_UNITS.keys() & ways:
            if data.get("unit") not in INSTRUMENT_UNITS[way]:
                raise ValidationError(t(texts.WAY_UNIT_WRONG, way=way, either=_either(way)), "unit")
            if not data.keys() >= {"low", "high"}:
                raise ValidationError(t(texts.WAY_NEEDS_LIMITS, way=way), "by")
        if ("marks" in ways) != ("wheel" in data):
            raise ValidationError(t(texts.MARKS_NEED_WHEEL), "wheel")

    @validates_schema
    def fits_its_kind(self, data: Source, **_: object) -> None:
        """Each kind has the fields it needs and no other."""
        needed, allowed = PROOF_FIELDS[data["kind"]]
        for field_name in needed:
            if field_name not in data:
                raise ValidationError(t(texts.IS_MISSING), field_name)
        for field_name in data.keys() - allowed - needed - {"name", "kind", "label", "hint"}:
            raise ValidationError(t(texts.FIELD_UNFIT, kind=data["kind"]), field_name)
        is_clicked = data.get("tool") == "torque_wrench" and "target" in data
        if data["kind"] == "reading" and not (data.keys() & {"low", "high"} or is_clicked):
            raise ValidationError(t(texts.NO_LIMIT), "kind")
        if data["kind"] == "choice" and not any(each["ok"] for each in data["options"]):
            raise ValidationError(t(texts.NO_OPTION_OK), "options")


def _either(way: str) -> str:
    return " or ".join(INSTRUMENT_UNITS[way])


PROOF_FIELDS: dict[str, tuple[set[str], set[str]]] = {
    "confirm": (set(), set()),
    "reading": ({"unit"}, {"low", "high", "target", "tool", "by", "wheel", "like"}),
    "photo": (set(), set()),
    "count": ({"target"}, {"unit", "of", "like"}),
    "wait": ({"low", "unit"}, set()),
    "scan": (set(), {"part"}),
    "choice": ({"options"}, set()),
    "signature": (set(), set()),
}


class FailureSchema(Part):
    """A way a step goes wrong: what is seen, what to do then, and how the engine is left."""

    id = a_name(required=True)
    says = Words(200, required=True)
    then = Words(600, required=True)
    leaves = named(a_name(), load_default=dict)
    look = several(a_name(), load_default=list)
    finding = YesNo(load_default=False)


class StepSchema(Part):
    id = a_name(required=True)
    number = Words(4, load_default="")
    phase = a_name(required=True)
    title = Words(TITLE_LENGTH, required=True)
    act = Words(32, required=True)
    says = several(Words(400), required=True, validate=AT_LEAST_ONE)
    because = Words(400)
    caution = fields.Nested(CautionSchema)
    picture = fields.Nested(PictureSchema)
    look = several(a_name(), load_default=list)
    drawn = a_name()
    torque = fields.Nested(TorqueSchema)
    does = several(Shaped(DEED, t(texts.NOT_DEED)), load_default=list)
    asks = named(OneOrMore(), load_default=dict)
    proof = several(fields.Nested(ProofSchema), load_default=list)
    fails = several(fields.Nested(FailureSchema), load_default=list)
    must = YesNo()
    permit = a_name()
    together = a_name()
    takes = named(Whole(), load_default=dict)
    undo = YesNo(load_default=False)
    once = YesNo(load_default=False)
    tools_out = several(a_name(), load_default=list)
    tools_in = several(a_name(), load_default=list)
    bins = named(Whole(), load_default=dict)
    works_at = several(a_name(), load_default=list)


class EndSchema(Part):
    """A way a job may end. `because`: whether it asks for a reason."""

    name = Words(64, required=True)
    all_must = YesNo(load_default=False)
    because = YesNo(load_default=False)
    conditions = named(OneOrMore(), load_default=dict)


class ToolSchema(Part):
    label = Words(64, required=True)
    outline = a_name(required=True)
    condition = a_name()
    tag = Words(16)
    low = a_decimal()
    high = a_decimal()
    unit = Words(16)

    @validates_schema
    def has_a_whole_range(self, data: Source, **_: object) -> None:
        """A range has both its ends and their unit."""
        for field_name in ("low", "high", "unit"):
            if data.keys() & {"low", "high", "unit"} and field_name not in data:
                raise ValidationError(t(texts.IS_MISSING), field_name)


class KitSchema(Part):
    label = Words(64, required=True)
    count = Whole(required=True)
    single_use = YesNo(load_default=False)
    condition = a_name()


class IntervalSchema(Part):
    months = Whole(required=True)
    km = Whole(required=True)


class ProcedureSchema(Part):
    """A whole procedure."""

    id = a_name(required=True)
    name = Words(64, required=True)
    edition = Whole(required=True)
    vehicle = Words(64, required=True)
    engine_codes = several(Words(64), required=True, validate=AT_LEAST_ONE)
    cautions = several(Words(600), load_default=list)
    interval = fields.Nested(IntervalSchema, required=True)
    interrupt_minutes = Whole(load_default=15)
    conditions = fields.Nested(ConditionsSchema, required=True)
    moves = named(named(OneOrMore()), load_default=dict)
    voids = named(OneOrMore(), keys=Shaped(MOVE, t(texts.NOT_MOVE)), load_default=dict)
    rests = named(OneOrMore(), load_default=dict)
    phases = named(Words(64), required=True, validate=AT_LEAST_ONE)
    rules = named(fields.Nested(RuleSchema), load_default=dict)
    instead = named(fields.Nested(InsteadSchema), load_default=dict)
    absent = named(Words(400), keys=Shaped(DEED, t(texts.NOT_CONDITION)), load_default=dict)
    steps = several(fields.Nested(StepSchema), required=True, validate=AT_LEAST_ONE)
    ends = named(fields.Nested(EndSchema), required=True, validate=AT_LEAST_ONE)
    tools = named(fields.Nested(ToolSchema), load_default=dict)
    kit = named(fields.Nested(KitSchema), load_default=dict)
    drive = Verbatim(required=True)
    assets = several(
        Shaped(PICTURE, t(texts.NOT_PICTURE_NAME)),
        load_default=list,
    )


def load(document: Document, schema: Schema) -> Source:
    """
    Return the data of a source, checked against its schema.

    Raises:
        SourceErrors: With every fault at its line.
    """
    try:
        loaded: Source = schema.load(document.data)
    except ValidationError as error:
        problems = [
            _problem(document, schema, path, message) for path, message in _flat(error.messages)
        ]
        raise SourceErrors(problems) from error
    return loaded


def _flat(messages: object, path: Path = ()) -> Iterator[tuple[Path, str]]:
    if isinstance(messages, Mapping):
        for part, below in messages.items():
            yield from _flat(below, path if part == "_schema" else (*path, part))
    elif isinstance(messages, list):
        for message in messages:
            yield path, str(message)


def _problem(document: Document, schema: Schema, path: Path, message: str) -> SourceError:
    message = texts.OURS.get(message, message)
    # marshmallow puts 'key' or 'value' between a mapping's key and what is wrong about it.
    of_a_key = path[-1:] == ("key",)
    shown = tuple(part for part in path if part not in ("key", "value"))
    is_key = of_a_key or message == t(texts.NOT_KNOWN_HERE)
    code, hint = _HINTS.get(message, _NO_HINT)
    if message == t(texts.NOT_KNOWN_HERE):
        code, hint = "unknown", nearest(str(shown[-1]), _siblings(schema, path[:-1]))
        if not is_formed(str(shown[-1]), NAME):
            hint = t(texts.QUOTE_COMMA, braces="{ }")
    elif message.startswith("Must be one of"):
        code, hint = "choice", message
        message = t(texts.UNKNOWN_WORD)
    return document.error(shown, f"{_spoken(shown)} {message}", hint=hint, code=code, key=is_key)


# marshmallow's own sentences, in ours.


def _spoken(path: Path) -> str:
    """`('steps', 3, 'title')` -> `steps, number 4, title`."""
    parts = [f"number {part + 1}" if isinstance(part, int) else str(part) for part in path]
    return ", ".join(parts) or t(texts.THE_SOURCE)


def _siblings(schema: Schema, path: Path) -> list[str]:
    """Return the fields that are known where a path ends."""
    fields_here: Mapping[str, Any] = schema.fields
    inner: Any = None
    for part in path:
        if inner is None:
            inner = fields_here.get(str(part))
        elif isinstance(inner, fields.List):
            inner = inner.inner
        elif isinstance(inner, fields.Dict) and part == "value":
            inner = inner.value_field
        if isinstance(inner, fields.Nested):
            fields_here, inner = inner.schema.fields, None
    return list(fields_here)
