"""
Whether the proofs prove: what a step asks to be measured, seen and chosen, held against the metal.

A limit belongs on a new part, a click is no measurement, a photo shows what somebody says that it
must show, what is measured comes after what it measures, a cure can be measured by the step that it
cures, what is found leads somewhere, and clean things stay clean.

Read off the bundle and its straight job; the words are the trade's own, as procedures write them.
What each looks for is common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Final

from twoturns.procedure import shape
from twoturns.procedure.prove.figures import figures_in, torques_of, windows_of
from twoturns.procedure.prove.finding import Finding
from twoturns.procedure.prove.packed import Packed
from twoturns.procedure.prove.phrases import Words
from twoturns.trade.torque import deviation
from twoturns.words import t
from twoturns.words.en.procedure.prove import proofs as texts

Straight = Sequence[tuple[int, int, int]]

_OLD = re.compile(r"\b(?:the|an|its) old\b|^old\b", re.IGNORECASE)
# What is only counted away (`old bolts in the bin`) is no measure of an old part.
_AWAY = re.compile(r"\b(?:bin|bag|sheet|tray)\b", re.IGNORECASE)
# What fit asks, measured after the torque: the gap and the stand-out are those of the tight part.
_OF_THE_FIT = re.compile(r"\b(?:feeler|flush|stand-out|gap)\b", re.IGNORECASE)
_AFTER_A_WAIT = re.compile(r"\b(?:drop|after)\b", re.IGNORECASE)
# What an answer tells of trouble, and by which words it says what comes of it.
_TROUBLE = re.compile(
    r"\b(?:oil|coolant|fuel|petrol|seized|rough|crack(?:s|ed)?|leak(?:s|ing)?|bent|broken|worn"
    r"|damaged|knock|rattle)\b",
    re.IGNORECASE,
)
_COMES_OF_IT = re.compile(
    r"\b(?:renewed|changed|replaced|repaired|cured|told|asked|ordered|goes in|looked at|green)\b",
    re.IGNORECASE,
)
# A proof of these values says that nothing wet or dirty is there.
_CLEAN: Final = ("clean", "dry")
# `pump=off` is the house rules' word: the rest of the coolant runs out behind the water pump.
_WET_PART: Final = "pump"
_RUNS = re.compile(
    r"\b(?:rest of the (?:coolant|oil)|(?:coolant|oil|fuel) (?:runs|drips|spills))\b",
    re.IGNORECASE,
)
# Words that say nothing of what a photo shows, and how much of a word tells it from another.
_EMPTY: Final = frozenset(
    {"after", "all", "and", "for", "from", "its", "new", "off", "old", "out", "photo"}
    | {"that", "the", "their", "this", "two", "whole", "with"}
)
_LETTERS, _STEM = 3, 5


def not_proving(
    bundle: shape.Bundle, packed: Packed, words: Words, straight: Straight
) -> Iterator[Finding]:
    """
    Tell each proof that does not prove what it is there for.

    Args:
        bundle: Compiled and checked.
        packed: Its machine.
        words: Its words, and the lines of its source.
        straight: The straight job, as `straight_run` gives it.
    """
    for at, step in enumerate(bundle["steps"]):
        for number, proof in enumerate(step["proof"]):
            yield from _limit_on_old(words, at, number, proof)
            yield from _setting(words, at, number, proof)
            yield from _photo_unsaid(words, at, number, proof)
            yield from _red_nowhere(words, at, number, proof)
            yield from _note_differs(bundle["drive"]["span"], words, at, number, proof)
        yield from _asked_early(words, at)
        yield from _cure_outside(words, at)
        yield from _figure_differs(words, at)
    yield from _wetted(packed, words, straight)


def _found(
    code: str, words: Words, at: int, number: int | None, message: str, hint: str
) -> Finding:
    path = ("steps", at) if number is None else ("steps", at, "proof", number)
    return Finding(code, message, hint, place=words.place(*path))


def _limit_on_old(words: Words, at: int, number: int, proof: shape.Proof) -> Iterator[Finding]:
    """Whatever an old part measures, it comes off: a limit halts the job, or makes it lie."""
    label = proof["label"]
    is_measured = proof["kind"] in ("reading", "count")
    if is_measured and _OLD.search(label) and not _AWAY.search(label):
        message = t(texts.LIMIT_ON_OLD, step=words.step(at), label=label)
        yield _found("limit-on-old", words, at, number, message, t(texts.LIMIT_ON_OLD_HINT))


def _setting(words: Words, at: int, number: int, proof: shape.Proof) -> Iterator[Finding]:
    """A wrench that clicks is not read: its window is what any wrench may be off."""
    place = ("steps", at, "proof", number)
    is_clicked = proof.get("tool") == "torque_wrench" and "target" in proof
    stated = [word for word in ("low", "high") if words.place(*place, word) is not None]
    if not is_clicked or not stated:
        return
    target = Decimal(proof["target"])
    off = target * deviation(target)
    sides = {"low": target - Decimal(proof["low"]), "high": Decimal(proof["high"]) - target}
    if all(sides[word] <= off for word in stated):
        message = t(texts.SETTING_AS_WINDOW, step=words.step(at), label=proof["label"])
        hint = t(texts.SETTING_AS_WINDOW_HINT)
        yield _found("setting-as-window", words, at, number, message, hint)


def _photo_unsaid(words: Words, at: int, number: int, proof: shape.Proof) -> Iterator[Finding]:
    """A photo of which no sentence speaks shows whatever stood before the lens."""
    step = words.steps[at]
    if proof["kind"] != "photo" or "hint" in proof:
        return
    said = _stems(" ".join([step["title"], step["act"], *step["says"]]))
    if not _stems(proof["label"]) & said:
        message = t(texts.PHOTO_UNSAID, step=words.step(at), label=proof["label"])
        yield _found("photo-unsaid", words, at, number, message, t(texts.PHOTO_UNSAID_HINT))


def _stems(text: str) -> set[str]:
    """The words of a text that tell something, each by how it begins."""
    found = re.findall(r"[a-z0-9]+", text.lower())
    return {
        each[:_STEM].rstrip("s")
        for each in found
        if each not in _EMPTY and (len(each) >= _LETTERS or any(map(str.isdigit, each)))
    }


def _red_nowhere(words: Words, at: int, number: int, proof: shape.Proof) -> Iterator[Finding]:
    """An answer that stops the step needs a way on; one that tells of trouble, what comes of it."""
    for place, option in enumerate(proof.get("options", [])):
        if not option["ok"]:
            lost = not words.steps[at]["fails"]
        else:
            lost = bool(_TROUBLE.search(option["says"]) and not _COMES_OF_IT.search(option["says"]))
        if lost:
            yield Finding(
                "red-nowhere",
                t(texts.RED_NOWHERE, step=words.step(at), answer=option["says"]),
                t(texts.RED_NOWHERE_HINT) if option["ok"] else t(texts.RED_UNCURED_HINT),
                place=words.place("steps", at, "proof", number, "options", place),
            )


def _asked_early(words: Words, at: int) -> Iterator[Finding]:
    """The fit before the torque, or what a wait leaves before the wait: it proves nothing yet."""
    proofs = words.steps[at]["proof"]
    clicks = [n for n, proof in enumerate(proofs) if proof.get("tool") == "torque_wrench"]
    waits = [n for n, proof in enumerate(proofs) if proof["kind"] == "wait"]
    for number, proof in enumerate(proofs):
        if proof["kind"] not in ("reading", "choice"):
            continue
        for first, asked in ((clicks, _OF_THE_FIT), (waits, _AFTER_A_WAIT)):
            if first and number < first[0] and asked.search(proof["label"]):
                other = proofs[first[0]]["label"]
                message = t(
                    texts.ASKED_EARLY, step=words.step(at), label=proof["label"], other=other
                )
                yield _found("asked-early", words, at, number, message, t(texts.ASKED_EARLY_HINT))


def _cure_outside(words: Words, at: int) -> Iterator[Finding]:
    """A cure that names a figure which the step itself would refuse leads back into its failure."""
    step = words.steps[at]
    windows = windows_of(step)
    for number, failure in enumerate(step["fails"]):
        for value, unit in figures_in(failure["then"]):
            limits = windows.get(unit, [])
            if limits and not any(low <= value <= high for low, high in limits):
                yield Finding(
                    "cure-outside",
                    t(texts.CURE_OUTSIDE, step=words.step(at), value=str(value), unit=unit),
                    t(texts.CURE_OUTSIDE_HINT),
                    place=words.place("steps", at, "fails", number),
                )


def _figure_differs(words: Words, at: int) -> Iterator[Finding]:
    """A torque in a title or a sentence that the step does not ask for: one of them is wrong."""
    step = words.steps[at]
    asked = torques_of(step)
    if not asked:
        return
    told = [step["title"], step["act"], *step["says"]]
    for value, unit in dict.fromkeys(each for text in told for each in figures_in(text)):
        if unit == "N·m" and value not in asked:
            message = t(texts.FIGURE_DIFFERS, step=words.step(at), value=str(value))
            yield _found("figure-differs", words, at, None, message, t(texts.FIGURE_DIFFERS_HINT))


def _note_differs(
    span: shape.Span, words: Words, at: int, number: int, proof: shape.Proof
) -> Iterator[Finding]:
    """A note that the drive's own measures and its tension contradict: one of them is wrong."""
    wanted = proof.get("target")
    if "pluck" not in proof.get("by", ()) or wanted is None:
        return
    if not Decimal(span["low_hz"]) <= Decimal(wanted) <= Decimal(span["high_hz"]):
        low, high = span["low_hz"], span["high_hz"]
        message = t(texts.NOTE_DIFFERS, step=words.step(at), note=wanted, low=low, high=high)
        yield _found("note-differs", words, at, number, message, t(texts.NOTE_DIFFERS_HINT))


def _wetted(packed: Packed, words: Words, straight: Straight) -> Iterator[Finding]:
    """What was proved clean or dry, and still counts after coolant ran over it."""
    conditions = packed.machine["conditions"]
    clean = [
        (c, v)
        for c, condition in enumerate(conditions)
        if condition["proof"]
        for v, value in enumerate(condition["values"])
        if value in _CLEAN
    ]
    for number, (at, before, after) in enumerate(straight):
        if not _wets(packed, words.steps[at], at):
            continue
        for c, v in clean:
            bit = packed.bit(c, v)
            if before & bit and after & bit and not _proves(packed, at, c):
                way = [step for step, _, _ in straight[: number + 1]]
                yield Finding(
                    "clean-then-wet",
                    t(texts.CLEAN_THEN_WET, step=words.step(at), proof=words.value(c, v)),
                    t(texts.CLEAN_THEN_WET_HINT),
                    place=words.place("steps", at),
                    way=tuple(str(words.steps[step]["id"]) for step in way),
                    sequence=tuple(words.step(step) for step in way),
                )


def _wets(packed: Packed, step: shape.Step, at: int) -> bool:
    conditions = packed.machine["conditions"]
    moved = {
        (conditions[c]["id"], conditions[c]["values"][v]) for c, v in packed.steps[at]["effect"]
    }
    told = [*step["says"], *([step["caution"]["says"]] if "caution" in step else [])]
    return (_WET_PART, "off") in moved or any(_RUNS.search(sentence) for sentence in told)


def _proves(packed: Packed, at: int, condition: int) -> bool:
    """Whether a step proves a condition itself, after whatever it spilled."""
    return any(c == condition and value for c, value in packed.steps[at]["effect"])
