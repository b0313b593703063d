"""Proofs that still hold when what they rest on, or what a rule asked for, no longer does."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from twoturns.procedure.prove.explored import Explored
from twoturns.procedure.prove.finding import Finding
from twoturns.procedure.rules.house import Rule
from twoturns.words import t
from twoturns.words.en.procedure.prove import stale as texts

#: A rule that speaks of a proof: the proof, its value, a condition and its mask.
Claim = tuple[Rule, int, int, int, int]


def stale_proofs(explored: Explored) -> Iterator[Finding]:
    """A proof that holds while one on which it rests does not."""
    packed = explored.packed
    rests = [(proof, on) for proof, rests_on in packed.machine["rests"] for on in rests_on]
    fallen = [(packed.bit(on, 0), packed.bit(on, 0), packed.bit(proof, 0)) for proof, on in rests]
    for (proof, on), state in zip(rests, explored.walk.first_with(fallen), strict=True):
        if state is not None:
            yield explored.told(
                "stale-proof",
                t(
                    texts.PROOF_WITHOUT_GROUND,
                    proof=explored.words.value(proof, packed.value(state, proof)),
                    on=explored.words.value(on, 0),
                ),
                t(texts.COMPILED_ELSEWHERE),
                to=state,
            )


def claims_outlived(explored: Explored, rules: Sequence[Rule]) -> Iterator[Finding]:
    """
    A proof that holds while something no longer does that a house rule asked for before it.

    What the straight job itself moves on from (the nut by hand, when the tension is set) is no
    longer asked for.
    """
    told: set[tuple[int, int]] = set()
    claims = [each for each in _claims(explored, rules) if _is_kept(explored, each)]
    outlived = [(*_masks(explored, each), 0) for each in claims]
    for claim, state in zip(claims, explored.walk.first_with(outlived), strict=True):
        rule, proof, value, c, _ = claim
        if state is None or (proof, c) in told:
            continue
        told.add((proof, c))
        at = next(i for i, each in enumerate(explored.bundle["rules"]) if each["id"] == rule.id)
        now = explored.packed.value(state, c)
        name, said = explored.packed.machine["conditions"][c], explored.words.value(proof, value)
        undone = f"{name['id']}={name['values'][now]}"
        yield explored.told(
            "stale-proof",
            t(texts.STILL_PROVED, said=said, words_value=explored.words.value(c, now)),
            t(texts.STILL_PROVED_HINT, undone=undone),
            rule=at,
            to=state,
        )


def _masks(explored: Explored, claim: Claim) -> tuple[int, int]:
    """The bit of the proof, and those that the rule did not allow."""
    _, proof, value, c, mask = claim
    return explored.packed.bit(proof, value), explored.packed.outside([(c, mask)])


def _is_kept(explored: Explored, claim: Claim) -> bool:
    claimed, lost = _masks(explored, claim)
    return all(not after & lost for _, _, after in explored.straight if after & claimed)


def _claims(explored: Explored, rules: Sequence[Rule]) -> Iterator[Claim]:
    """Each rule that speaks of a proof: the proof, its value, a condition and its mask."""
    conditions = explored.packed.machine["conditions"]
    index = {each["id"]: at for at, each in enumerate(conditions)}
    for rule in rules:
        for deed in rule.doing:
            word, _, value_word = deed.partition("=")
            proof = index.get(word)
            if proof is None or not conditions[proof]["proof"]:
                continue
            values = conditions[proof]["values"]
            for asked, allowed in rule.unless:
                c = index.get(asked)
                if c is not None and value_word in values:
                    known = conditions[c]["values"]
                    mask = sum(1 << at for at, each in enumerate(known) if each in allowed)
                    yield rule, proof, values.index(value_word), c, mask
