"""
Makers' words in place of house rules, in a proof: a note for each, with what is no longer asked
for, and a finding where the house rule would have held all the same.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from twoturns.procedure.compile.flatten import Replaced
from twoturns.procedure.prove.finding import Finding
from twoturns.procedure.prove.packed import Packed
from twoturns.procedure.prove.phrases import Words, listed
from twoturns.procedure.prove.walk import Walk
from twoturns.procedure.rules.house import Rule
from twoturns.words import t
from twoturns.words.en.procedure.prove import instead as texts


def needless(
    rules: Sequence[Rule], replaced: Replaced, packed: Packed, walk: Walk, words: Words
) -> Iterator[Finding]:
    """A maker's word left over from before: no state that can be reached breaks the house rule."""
    for rule in rules if walk.is_whole else ():
        if rule.instead is None:
            continue
        asked = {at: packed.outside(guard) for at, guard in replaced.get(rule.id, {}).items()}
        if not any(_breaks(packed, state, asked) for state in walk.states):
            yield Finding(
                "instead-needless",
                t(texts.HOUSE_RULE_HOLDS, rule=rule.id),
                t(texts.HOUSE_RULE_HOLDS_HINT),
                rule=rule.id,
                line=words.line("instead", rule.id),
            )


def _breaks(packed: Packed, state: int, asked: dict[int, int]) -> bool:
    return any(state & outside and packed.is_open(state, at) for at, outside in asked.items())


def makers_words(rules: Sequence[Rule], words: Words) -> Iterator[Finding]:
    """Say of each rule that is taken otherwise what holds, by whose word, and what falls away."""
    for rule in rules:
        if rule.instead is None:
            continue
        word, cited = rule.instead, rule.instead.source
        gone = [each for each, _ in word.of.unless if each not in dict(rule.unless)]
        yield Finding(
            "instead",
            t(texts.TAKEN_OTHERWISE, rule=rule.id, says=word.says, never=rule.never),
            t(
                texts.SOURCE_AND_LOSS,
                document=cited.document,
                edition=cited.edition,
                page=cited.page,
                date=cited.date,
                gone=listed(gone) if gone else t(texts.NOTHING_GONE),
            ),
            rule=rule.id,
            line=words.line("instead", rule.id),
        )
