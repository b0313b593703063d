"""
From a procedure's source to its bundle: what people read, and the machine that phones run.

`compile_source` reads the text and finds every fault it can at once, each at its line. It touches
no disk: pictures come in as bytes. Reading a folder is `bundle`. The form is formats.md,
section 6.
"""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from functools import partial
from typing import cast

from twoturns.procedure import shape
from twoturns.procedure.blocks.compose import Taken, composed
from twoturns.procedure.blocks.library import library, with_own
from twoturns.procedure.blocks.written import bringers
from twoturns.procedure.compile.check_measures import check_measures
from twoturns.procedure.compile.check_steps import check_drive, check_looks, check_steps
from twoturns.procedure.compile.clicks import window_the_clicks
from twoturns.procedure.compile.flatten import Flattener, Replaced
from twoturns.procedure.compile.instead import (
    WordsOfWorkshop,
    check_needed,
    gone,
    holds,
    steps_under,
    taken_otherwise,
)
from twoturns.procedure.compile.metal import Metal, metal_of
from twoturns.procedure.drive import fields as drive_fields
from twoturns.procedure.drive import solve
from twoturns.procedure.drive.block import DriveFault
from twoturns.procedure.errors import SourceErrors
from twoturns.procedure.language import schema, source
from twoturns.procedure.language.former_words import FormerWord, in_present_words
from twoturns.procedure.language.names import Names
from twoturns.procedure.language.source import Document, Path, Source
from twoturns.procedure.rules.house import (
    CAM_LOCK,
    Rule,
    SilentRule,
    actions_in,
    house_rules,
    of_every_camshaft,
    rules_of,
    silence,
)
from twoturns.words import t
from twoturns.words.en.procedure.compile import compiler as words


@dataclass(frozen=True)
class Compiled:
    """
    A bundle, and what only its author needs to know of it.

    Args:
        bundle: What is published.
        silent_rules: The rules of which it gives no occasion to ask all.
        absent: What the source calls absent, and why.
        rules: The rules that are asked.
        document: The source, with its lines, in the present words, all that blocks bring in it.
        former_words: Those that it had instead.
        metal: What lies behind what.
        replaced: By rule and step, what the house rule asks for that a maker's word replaces.
        blocks: Those that it takes.
    """

    bundle: shape.Bundle
    silent_rules: tuple[SilentRule, ...]
    absent: dict[str, str]
    rules: tuple[Rule, ...]
    document: Document
    former_words: tuple[FormerWord, ...]
    metal: Metal
    replaced: Replaced
    blocks: tuple[Taken, ...] = ()


def compile_source(
    text: bytes,
    pictures: Mapping[str, bytes],
    house: Sequence[Rule] | None = None,
    workshop: WordsOfWorkshop | None = None,
    blocks: Mapping[str, bytes] | None = None,
) -> Compiled:
    """
    Compile a procedure.

    Args:
        text: The source, YAML.
        pictures: The folder's pictures, by file name.
        house: The house rules; the ones of `rules/` if not given.
        workshop: What the workshop takes otherwise, where the source does not say it itself.
        blocks: The blocks that lie beside the source, by file name.

    Raises:
        SourceErrors: With every fault found.
    """
    return compile_document(source.read(text), pictures, house, workshop, blocks)


def compile_document(
    document: Document,
    pictures: Mapping[str, bytes],
    house: Sequence[Rule] | None = None,
    workshop: WordsOfWorkshop | None = None,
    blocks: Mapping[str, bytes] | None = None,
) -> Compiled:
    """Compile a source that has been read: reading is most of the work."""
    document, former_words = in_present_words(document)
    kept = with_own(blocks or {}, library())
    document, taken = composed(document, kept)
    data = schema.load(document, schema.ProcedureSchema())
    window_the_clicks(data)
    names = Names(document, data, partial(bringers, kept, [each.id for each in taken]))
    rules, silent = _rules_asked(
        names, data, house_rules() if house is None else house, workshop or {}
    )
    metal = metal_of(names, data)
    flattener = Flattener(names, data, rules)
    machine = flattener.built()
    solved = _drive(names, data)
    check_steps(names, data)
    check_measures(names, data)
    check_looks(names, data, solved)
    if solved is not None:
        check_drive(names, data, solved)
    assets = _assets(names, data, pictures)
    if names.problems or solved is None:
        raise SourceErrors(names.problems)
    return Compiled(
        bundle=_bundle(names, data, rules, solved, assets, machine, taken),
        silent_rules=tuple(silent),
        absent=data["absent"],
        rules=tuple(rules),
        document=document,
        former_words=former_words,
        metal=metal,
        replaced=flattener.replaced,
        blocks=taken,
    )


def _rules_asked(
    names: Names, data: Source, house: Sequence[Rule], workshop: WordsOfWorkshop
) -> tuple[list[Rule], list[SilentRule]]:
    """Return the rules that can be asked here, and those that cannot, wholly or in part."""
    house_ids = {rule.id for rule in house}
    further = _locks_that_no_rule_names(data, house) if CAM_LOCK in names.index else []
    house = [of_every_camshaft(rule, further) for rule in house]
    own = rules_of(data["rules"])
    for rule in own:
        if rule.id in house_ids:
            names.refuse(
                ("rules", rule.id),
                t(words.IS_HOUSE_RULE, rule_id=rule.id),
                t(words.IS_HOUSE_RULE_HINT),
                "rule-replaced",
            )
        _check_own_rule(names, rule)
    every = [*taken_otherwise(names, data, house, workshop), *own]
    deeds = {deed for step in data["steps"] for deed in step["does"] if "=" not in deed}
    _check_actions(names, data, actions_in(every))
    check_needed(names, every, {deed for step in data["steps"] for deed in step["does"]})
    moves = {f"{each.id}={value}" for each in names.conditions for value in each.values}
    silent = {rule.id: silence(rule, deeds, moves, set(names.index)) for rule in every}
    reported = [found for found in silent.values() if found]
    _check_absent(names, data["absent"], {word for found in reported for word in found.unasked})
    asked = [rule for rule in every if not ((found := silent[rule.id]) and found.wholly)]
    return asked, reported


def _locks_that_no_rule_names(data: Source, house: Sequence[Rule]) -> list[str]:
    """Return the conditions of the wheels' holes that house rules have no word of their own for."""
    named = {condition for rule in house for condition, _ in rule.unless}
    holes = [wheel["hole"] for wheel in data["drive"]["wheels"] if wheel.get("hole")]
    return [hole["condition"] for hole in holes if hole["condition"] not in named]


def _check_absent(names: Names, absent: dict[str, str], unasked: set[str]) -> None:
    """A reason for what is there, or for what nobody asks for, is left over from before."""
    for word in absent:
        if word not in unasked:
            names.refuse(
                ("absent", word),
                t(words.ABSENT_NEEDLESS, word=word),
                t(words.ABSENT_NEEDLESS_HINT),
                "not-absent",
            )


def _check_own_rule(names: Names, rule: Rule) -> None:
    """A procedure's own rule has no business with conditions that it does not have."""
    path: Path = ("rules", rule.id)
    for number, deed in enumerate(rule.doing):
        if "=" in deed:
            names.move((*path, "doing", number), deed)
    for word, _ in rule.unless:
        names.condition((*path, "unless", word), word)


def _check_actions(names: Names, data: Source, known: set[str]) -> None:
    for at, step in enumerate(data["steps"]):
        for number, deed in enumerate(step["does"]):
            if "=" not in deed and deed not in known:
                names.unknown(("steps", at, "does", number), "action", deed, known)


def _drive(names: Names, data: Source) -> shape.Drive | None:
    found = list(drive_fields.faults(data["drive"]))
    for place, message, hint, code in found:
        names.refuse(("drive", *place), message, hint, code)
    if found:
        return None
    try:
        return solve.drive(data["drive"])
    except DriveFault as fault:
        names.refuse(("drive", *fault.place), str(fault), fault.hint, fault.code)
        return None


def _assets(names: Names, data: Source, pictures: Mapping[str, bytes]) -> list[shape.Asset]:
    assets: list[shape.Asset] = []
    for number, (file_name, uses) in enumerate(Counter[str](data["assets"]).items()):
        if uses > 1:
            names.refuse(
                ("assets",),
                t(words.PICTURE_LISTED_TWICE, file_name=file_name),
                t(words.PICTURE_LISTED_TWICE_HINT),
                "twice",
            )
        if file_name not in pictures:
            names.refuse(
                ("assets", number),
                t(words.PICTURE_MISSING, file_name=file_name),
                t(words.PICTURE_MISSING_HINT),
                "picture-missing",
            )
            continue
        blob = hashlib.sha256(pictures[file_name]).hexdigest()
        kind = schema.PICTURE_TYPES[file_name.rpartition(".")[2]]
        assets.append({"name": file_name, "blob": blob, "type": kind})
    return assets


# What people read. Only what the source states is written: an absent field is absent.

_STEP_FIELDS = [
    "id",
    "number",
    "phase",
    "title",
    "act",
    "says",
    "because",
    "caution",
    "picture",
    "look",
    "drawn",
    "torque",
    "undo",
    "permit",
    "once",
    "proof",
    "tools_out",
    "tools_in",
]
_PROOF_FIELDS = [
    "name",
    "kind",
    "label",
    "unit",
    "low",
    "high",
    "target",
    "tool",
    "options",
    "part",
    "hint",
    "by",
    "of",
    "wheel",
    "like",
]
_COPIED = [
    "id",
    "name",
    "edition",
    "vehicle",
    "engine_codes",
    "cautions",
    "interval",
    "interrupt_minutes",
]


def _copied(data: Source, fields: Sequence[str]) -> Source:
    return {field: data[field] for field in fields if data.get(field) is not None}


def _listed(data: dict[str, Source], key: str) -> list[Source]:
    """Tools or parts as people read them; where they stand in the engine, phones need not know."""
    return [
        {key: word, **{field: parts[field] for field in parts if field != "condition"}}
        for word, parts in data.items()
    ]


def _bundle(
    names: Names,
    data: Source,
    rules: Sequence[Rule],
    solved: shape.Drive,
    assets: list[shape.Asset],
    machine: shape.MachineForm,
    taken: Sequence[Taken],
) -> shape.Bundle:
    said = {
        "v": 1,
        **_copied(data, _COPIED),
        "conditions": [
            {
                "id": each.id,
                "kind": "proof" if each.proof else "engine",
                "label": each.label,
                "values": [
                    {"id": value, "says": says}
                    for value, says in zip(each.values, each.says, strict=True)
                ],
                "start": each.values[each.start],
            }
            for each in names.conditions
        ],
        "phases": [{"id": word, "name": says} for word, says in data["phases"].items()],
        "steps": [_step(step, rules) for step in data["steps"]],
        "rules": [
            {
                "id": rule.id,
                "kind": rule.kind,
                "never": rule.never,
                "because": rule.because,
                **_makers_word(names, rule),
            }
            for rule in rules
        ],
        "ends": [
            {"id": word, "name": end["name"], "because": end["because"]}
            for word, end in data["ends"].items()
        ],
        "tools": _listed(data["tools"], "slot"),
        "kit": _listed(data["kit"], "part"),
        "drive": solved,
        "assets": assets,
        **({"blocks": [_block(each) for each in taken]} if taken else {}),
        "machine": machine,
    }
    return cast(shape.Bundle, said)  # as `check_bundle` finds it to be


def _block(taken: Taken) -> shape.BlockTaken:
    return {"id": taken.id, "edition": taken.edition, "sha256": taken.sha256}


def _makers_word(names: Names, rule: Rule) -> dict[str, shape.Instead]:
    if rule.instead is None:
        return {}
    word = rule.instead
    written: shape.Instead = {
        "never": word.of.never,
        "because": word.of.because,
        "holds": holds(names, rule),
        "gone": gone(names, rule, word.of),
        "says": word.says,
        "why": word.why,
        "source": cast(shape.Cited, asdict(word.source)),
    }
    if word.whose == "workshop":
        written["whose"] = word.whose
    return {"instead": written}


def _step(step: Source, rules: Sequence[Rule]) -> Source:
    under = steps_under(rules, step["does"])
    return {
        **_copied(step, _STEP_FIELDS),
        "must": step.get("must", not step["undo"]),
        **_copied(step, "together"),
        **({"instead": under} if under else {}),
        **({"uses": _uses(step)} if step["takes"] else {}),
        "proof": [_proof(proof) for proof in step["proof"]],
        "fails": [_followed_up(failure, ["id", "says", "then"]) for failure in step["fails"]],
    }


def _proof(proof: Source) -> Source:
    kept = _copied(proof, _PROOF_FIELDS)
    if "options" in kept:
        kept["options"] = [
            _followed_up(one, ["id", "says", "ok", "permit"]) for one in kept["options"]
        ]
    return kept


def _followed_up(said: Source, fields: Sequence[str]) -> Source:
    """Copy an answer or a failure; that it is a finding stands there only where it is one."""
    return {**_copied(said, fields), **({"finding": True} if said["finding"] else {})}


def _uses(step: Source) -> list[shape.Use]:
    return [{"part": part, "count": count} for part, count in step["takes"].items()]
