"""
The house rules that a procedure gives no occasion to ask, or not wholly: what is a fault, what the
source has given a reason for, and what is never done here.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence

from twoturns.procedure.prove.finding import Finding
from twoturns.procedure.prove.phrases import Words, listed
from twoturns.procedure.rules.house import SilentRule


def unasked(
    silent_rules: Sequence[SilentRule], absent: Mapping[str, str], words: Words
) -> Iterator[Finding]:
    """What a rule cannot ask although there is occasion, and nobody has said why that is right."""
    for silent in silent_rules:
        unasked = [word for word in silent.unasked if word not in absent]
        if unasked:
            how = "is silent" if silent.wholly else "is asked in part only"
            yield Finding(
                "rule-silent",
                f"the rule '{silent.rule}' {how}: this procedure has no {listed(unasked)}",
                "Name it as the rule does; or, if the engine has no such thing, "
                "write it under absent with the reason.",
                rule=silent.rule,
                line=words.line("rules", silent.rule),
            )


def accepted(silent_rules: Sequence[SilentRule], absent: Mapping[str, str]) -> Iterator[Finding]:
    concerned: dict[str, list[str]] = defaultdict(list)
    for silent in silent_rules:
        for word in silent.unasked:
            concerned[word].append(silent.rule)
    for word, because in absent.items():
        yield Finding(
            "absent",
            f"'{word}' is absent: {because}",
            f"Not asked for that reason: {listed(concerned[word])}." if concerned[word] else "",
        )


def never_done(silent_rules: Sequence[SilentRule]) -> Iterator[Finding]:
    """What rules forbid and this procedure never does: one note for all."""
    never = {word for each in silent_rules for word in each.absent if word not in each.unasked}
    if never:
        concerned = [each.rule for each in silent_rules if never.intersection(each.absent)]
        yield Finding(
            "never-done",
            f"this procedure has no {listed(sorted(never))}",
            f"So it gives no occasion to ask all of {listed(concerned)}. "
            "Right if the engine has no such thing; otherwise name it as the rules do.",
        )
