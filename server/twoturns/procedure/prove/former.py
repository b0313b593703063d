"""Notes for whoever wrote a source in words that the language has changed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from twoturns.procedure.errors import Place
from twoturns.procedure.language.former_words import FormerWord
from twoturns.procedure.prove.finding import Finding
from twoturns.words import t
from twoturns.words.en.procedure.prove import former as texts


def written_formerly(former_words: Sequence[FormerWord]) -> Iterator[Finding]:
    """Give a note for each former word: its present one, how often it stands, and from where on."""
    for word in former_words:
        yield Finding(
            "former-word",
            t(texts.FORMER_WORD, former=word.former, present=word.present, times=word.times),
            t(texts.FORMER_WORD_HINT),
            place=Place(word.line),
        )
