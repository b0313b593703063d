"""
The form of a compiled bundle, as marshmallow schemas, and what its machine must agree on.

What a bundle may omit is what its source may omit. These schemas judge bytes of unknown origin:
they take nothing for another thing, and know no defaults.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from marshmallow import RAISE, Schema, ValidationError, fields, validate

from twoturns.ledger.forms import DECIMAL, NAME, SHA256
from twoturns.procedure.language.schema import (
    COUNTED,
    PICTURE_TYPES,
    PROOF_KINDS,
    WAYS,
)
from twoturns.words import t
from twoturns.words.en.procedure.compile import form as words

FORM = 1  # `v` of a bundle


UNKNOWN = t(words.NOT_KNOWN_HERE)  # of a field: nothing else says so


class Form(Schema):
    class Meta:
        unknown = RAISE

    error_messages = {"unknown": UNKNOWN}  # noqa: RUF012 - marshmallow declares it for instances


def _integer(**more: Any) -> fields.Integer:
    return fields.Integer(strict=True, required=True, **more)


def _flag() -> fields.Field[bool]:
    return _Flag(required=True)


def _text(most: int = 2000) -> fields.String:
    return fields.String(required=True, validate=validate.Length(0, most))


def _name() -> fields.String:
    return fields.String(required=True, validate=validate.Regexp(rf"{NAME}\Z"))


def _decimal() -> fields.String:
    return fields.String(validate=validate.Regexp(rf"(?:{DECIMAL})\Z"))


def _many(inner: fields.Field[Any]) -> fields.List[Any]:
    return fields.List(inner, required=True)


def _forms(form: type[Schema]) -> fields.Nested:
    return fields.Nested(form, many=True, required=True)


class _Flag(fields.Field[bool]):
    """true or false; marshmallow's own also takes 1 and "yes"."""

    def _deserialize(self, value: object, attr: str | None, data: object, **more: Any) -> bool:
        if not isinstance(value, bool):
            raise ValidationError(t(words.NEITHER_NOR_FALSE))
        return value


class _Pair(fields.Field[list[int]]):
    """[condition, value or mask]: two integers."""

    def _deserialize(self, value: object, attr: str | None, data: object, **more: Any) -> list[int]:
        if (
            not isinstance(value, list)
            or len(value) != 2
            or not all(type(part) is int and part >= 0 for part in value)
        ):
            raise ValidationError(t(words.NOT_PAIR_WHOLE_NUMBERS))
        return value


class ValueForm(Form):
    id = _name()
    says = _text()


class ConditionForm(Form):
    id = _name()
    kind = fields.String(required=True, validate=validate.OneOf(["engine", "proof"]))
    label = _text()
    values = _forms(ValueForm)
    start = _name()


class PhaseForm(Form):
    id = _name()
    name = _text()


class CautionForm(Form):
    sign = _name()
    says = _text()


class TorqueForm(Form):
    nm = _decimal()
    angle_deg = _decimal()
    sequence = _many(_text())


class OptionForm(Form):
    id = _name()
    says = _text()
    ok = _flag()


class ProofForm(Form):
    name = _name()
    kind = fields.String(required=True, validate=validate.OneOf(PROOF_KINDS))
    label = _text()
    unit = fields.String()
    low = _decimal()
    high = _decimal()
    target = _decimal()
    tool = fields.String()
    options = fields.Nested(OptionForm, many=True)
    part = fields.String()
    hint = fields.String()
    by = fields.List(fields.String(validate=validate.OneOf(WAYS)))
    of = fields.String(validate=validate.OneOf(COUNTED))
    wheel = fields.String()
    like = fields.String()


class FailureForm(Form):
    id = _name()
    says = _text()
    then = _text()


class UseForm(Form):
    part = _name()
    count = _integer()


class StepForm(Form):
    id = _name()
    number = _text()
    phase = _name()
    title = _text()
    act = _text()
    says = _many(_text())
    because = fields.String()
    caution = fields.Nested(CautionForm)
    look = _many(_name())
    torque = fields.Nested(TorqueForm)
    undo = _flag()
    must = _flag()
    together = fields.String()
    once = _flag()
    uses = fields.Nested(UseForm, many=True)
    proof = _forms(ProofForm)
    fails = _forms(FailureForm)
    tools_out = _many(_name())
    tools_in = _many(_name())


class RuleForm(Form):
    id = _name()
    kind = fields.String(required=True, validate=validate.OneOf(["stop", "ask"]))
    never = _text()
    because = _text()


class EndForm(Form):
    id = _name()
    name = _text()
    because = _flag()


class ToolForm(Form):
    slot = _name()
    label = _text()
    outline = _name()
    tag = fields.String()
    low = _decimal()
    high = _decimal()
    unit = fields.String()


class KitForm(Form):
    part = _name()
    label = _text()
    count = _integer()
    single_use = _flag()


class IntervalForm(Form):
    months = _integer()
    km = _integer()


class AssetForm(Form):
    name = _text(80)
    blob = fields.String(required=True, validate=validate.Regexp(rf"{SHA256}\Z"))
    type = fields.String(required=True, validate=validate.OneOf(sorted(PICTURE_TYPES.values())))


class MachineConditionForm(Form):
    id = _name()
    proof = _flag()
    values = _many(_name())
    start = _integer()


class MachineFailureForm(Form):
    id = _name()
    effect = _many(_Pair())
    look = _many(_integer())


class MachineRuleForm(Form):
    rule = _integer()
    guard = _many(_Pair())


class MachineProofForm(Form):
    name = _name()
    kind = fields.String(required=True, validate=validate.OneOf(PROOF_KINDS))
    low = _decimal()
    high = _decimal()
    ok = fields.List(_name())


class MachineStepForm(Form):
    id = _name()
    undo = _flag()
    must = _flag()
    together = fields.String(required=True, allow_none=True)
    guard = _many(_Pair())
    moves = _many(_Pair())
    effect = _many(_Pair())
    on_the_way = _many(_Pair())
    fails = _forms(MachineFailureForm)
    reopen = _many(_Pair())
    rules = _forms(MachineRuleForm)
    proof = _forms(MachineProofForm)
    tools_out = _many(_name())
    tools_in = _many(_name())


class MachineEndForm(Form):
    id = _name()
    all_must = _flag()
    conditions = _many(_Pair())


class MachineForm(Form):
    conditions = _forms(MachineConditionForm)
    steps = _forms(MachineStepForm)
    rests = _many(fields.Raw())
    makers = _many(fields.Raw())
    ends = _forms(MachineEndForm)


class BundleSchema(Form):
    """A compiled bundle. DRIVE is the drawing's own: it decides nothing."""

    v = _integer(validate=validate.Equal(FORM))
    id = _name()
    name = _text(64)
    edition = _integer()
    vehicle = _text(64)
    engine_codes = _many(_text(64))
    cautions = _many(_text())
    interval = fields.Nested(IntervalForm, required=True)
    interrupt_minutes = _integer()
    conditions = _forms(ConditionForm)
    phases = _forms(PhaseForm)
    steps = _forms(StepForm)
    rules = _forms(RuleForm)
    ends = _forms(EndForm)
    tools = _forms(ToolForm)
    kit = _forms(KitForm)
    drive = fields.Dict(required=True)
    assets = _forms(AssetForm)
    machine = fields.Nested(MachineForm, required=True)


def faults_of_machine(bundle: dict[str, Any]) -> Iterator[str]:
    """Say where the machine does not fit the bundle, or points outside itself."""
    machine = bundle["machine"]
    if _told_conditions(bundle) != [
        (each["id"], each["proof"], each["values"], each["start"]) for each in machine["conditions"]
    ]:
        yield t(words.MACHINES_CONDITIONS_NOT_BUNDLES)
    told = [(each["id"], each["undo"], each["must"]) for each in bundle["steps"]]
    if told != [(each["id"], each["undo"], each["must"]) for each in machine["steps"]]:
        yield t(words.MACHINES_STEPS_NOT_BUNDLES)
    if [each["id"] for each in bundle["ends"]] != [each["id"] for each in machine["ends"]]:
        yield t(words.MACHINES_ENDS_NOT_BUNDLES)
    sizes = [len(each["values"]) for each in machine["conditions"]]
    for step in machine["steps"]:
        if not all(_step_fits(step, sizes, len(bundle["rules"]))):
            yield t(words.STEP_POINTS_OUTSIDE_MACHINE, id=step["id"])
    if not all(_rest_fits(each, sizes) for each in machine["rests"]):
        yield t(words.RESTS_POINT_OUTSIDE_MACHINE)
    if not all(_maker_fits(each, sizes, len(machine["steps"])) for each in machine["makers"]):
        yield t(words.MAKERS_POINT_OUTSIDE_MACHINE)
    if not all(_masks_fit(each["conditions"], sizes) for each in machine["ends"]):
        yield t(words.END_POINTS_OUTSIDE_MACHINE)


def _told_conditions(bundle: dict[str, Any]) -> list[tuple[str, bool, list[str], int]]:
    told = []
    for each in bundle["conditions"]:
        values = [value["id"] for value in each["values"]]
        start = values.index(each["start"]) if each["start"] in values else -1
        told.append((each["id"], each["kind"] == "proof", values, start))
    return told


def _step_fits(step: dict[str, Any], sizes: list[int], rules: int) -> Iterator[bool]:
    for field in ("guard", "moves", "on_the_way"):
        yield _masks_fit(step[field], sizes)
    for field in ("effect", "reopen"):
        yield _values_fit(step[field], sizes)
    for failure in step["fails"]:
        yield _values_fit(failure["effect"], sizes)
        yield all(0 <= condition < len(sizes) for condition in failure["look"])
    for rule in step["rules"]:
        yield 0 <= rule["rule"] < rules and _masks_fit(rule["guard"], sizes)


def _masks_fit(pairs: list[list[int]], sizes: list[int]) -> bool:
    return all(c < len(sizes) and mask < 1 << sizes[c] for c, mask in pairs)


def _values_fit(pairs: list[list[int]], sizes: list[int]) -> bool:
    return all(c < len(sizes) and value < sizes[c] for c, value in pairs)


def _whole(value: object, below: int) -> bool:
    return type(value) is int and 0 <= value < below


def _rest_fits(rest: object, sizes: list[int]) -> bool:
    return (
        isinstance(rest, list)
        and len(rest) == 2
        and _whole(rest[0], len(sizes))
        and isinstance(rest[1], list)
        and all(_whole(each, len(sizes)) for each in rest[1])
    )


def _maker_fits(maker: object, sizes: list[int], steps: int) -> bool:
    return (
        isinstance(maker, list)
        and len(maker) == 3
        and _whole(maker[0], len(sizes))
        and _whole(maker[1], sizes[maker[0]])
        and isinstance(maker[2], list)
        and all(_whole(each, steps) for each in maker[2])
    )
