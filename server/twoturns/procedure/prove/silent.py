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
from twoturns.words import t
from twoturns.words.en.procedure.prove import silent as texts


def unasked(
    silent_rules: Sequence[SilentRule], absent: Mapping[str, str], words: Words
) -> Iterator[Finding]:
    """What a rule cannot ask although there is occasion, and nobody has said why that is right."""
    for silent in silent_rules:
        unasked = [word for word in silent.unasked if word not in absent]
        if unasked:
            how = t(texts.RULE_SILENT) if silent.wholly else t(texts.RULE_IN_PART)
            yield Finding(
                "rule-silent",
                t(texts.RULE_NOT_ASKED, rule=silent.rule, how=how, listed=listed(unasked)),
                _as_the_rule_has_it(silent),
                rule=silent.rule,
                place=words.place("rules", silent.rule),
            )


def _as_the_rule_has_it(silent: SilentRule) -> str:
    asked = [
        t(texts.ASKED, condition=condition, values=t(texts.OR).join(values))
        for condition, values in silent.unless
    ]
    return t(texts.RULE_NOT_ASKED_HINT, asked=listed(asked) if asked else t(texts.NEVER))


def accepted(silent_rules: Sequence[SilentRule], absent: Mapping[str, str]) -> Iterator[Finding]:
    """Give a finding for each word that an author left out on purpose, with the reason given."""
    concerned: dict[str, list[str]] = defaultdict(list)
    for silent in silent_rules:
        for word in silent.unasked:
            concerned[word].append(silent.rule)
    for word, because in absent.items():
        yield Finding(
            "absent",
            t(texts.WORD_ABSENT, word=word, because=because),
            t(texts.WORD_ABSENT_RULES, listed=listed(concerned[word])) if concerned[word] else "",
        )


def never_done(silent_rules: Sequence[SilentRule]) -> Iterator[Finding]:
    """What rules forbid and this procedure never does: one note for all."""
    never = {word for each in silent_rules for word in each.absent if word not in each.unasked}
    if never:
        concerned = [each.rule for each in silent_rules if never.intersection(each.absent)]
        yield Finding(
            "never-done",
            t(texts.NO_SUCH_WORDS, listed=listed(sorted(never))),
            t(texts.NO_SUCH_WORDS_HINT, listed=listed(concerned)),
        )
