"""What checking bags came to, told: for people in lines, for programs as JSON."""

import json
from collections.abc import Iterable
from dataclasses import asdict
from typing import Any, Final

from twoturns.bag.many import ManyVerdict
from twoturns.bag.sheet import Drawn
from twoturns.bag.verify import Verdict
from twoturns.cli.parts import plain
from twoturns.words import t
from twoturns.words.en.cli import verdict as words


def json_of(verdict: Verdict) -> str:
    """Return what checking a bag came to, as one JSON object."""
    return json.dumps(_said(verdict), indent=2)


def _said(verdict: Verdict) -> dict[str, Any]:
    return {
        "holds": verdict.holds,
        "findings": [asdict(one) for one in verdict.findings],
        "unshown": [asdict(one) for one in verdict.unshown],
        "workshop": verdict.workshop,
        "trusted": verdict.is_trusted,
        "as_of": None
        if verdict.as_of is None
        else {"made_on": verdict.as_of[0], "size": verdict.as_of[1]},
        "proven": verdict.proven,
        "asserted": [{"by": by, "what": what} for by, what in verdict.asserted],
        "unchecked": verdict.unchecked,
        "unproven": verdict.unproven,
        "state": verdict.told.state if verdict.told else None,
        "exceptions": [asdict(one) for one in verdict.told.exceptions] if verdict.told else [],
    }


_UNSHOWN: Final = {
    frozenset(): "none",
    frozenset({"completeness-not-proven"}): "completeness",
    frozenset({"growth-not-proven"}): "growth",
}


def _headline(verdict: Verdict) -> str:
    """Say in one line what was verified: never more than was."""
    if verdict.findings or verdict.as_of is None:
        return t(words.FINDINGS, count=len(verdict.findings))
    day, size = verdict.as_of
    return t(
        words.VERIFIED,
        unshown=_UNSHOWN.get(frozenset(one.code for one in verdict.unshown), "both"),
        day=day,
        size=size,
        trusted=verdict.is_trusted,
        workshop=verdict.workshop,
    )


def text_of(name: str, verdict: Verdict) -> str:
    """Return what checking a bag came to, in lines for people."""
    lines = [f"{name}: {_headline(verdict)}"]
    for one in (*verdict.findings, *verdict.unshown):
        lines += ["", f"  {one.file}: {one.what}", f"    {one.hint} [{one.code}]"]
    if verdict.told:
        lines += ["", verdict.told.title, f"  {verdict.told.state}"]
        lines += [
            "  " + t(words.EXCEPTION, what=one.what.rstrip("."), who=one.who, index=one.index)
            for one in verdict.told.exceptions
        ]
    lines += _listed(t(words.PROVEN), verdict.proven)
    lines += _listed(t(words.ASSERTED_BY), (f"{by}: {what}" for by, what in verdict.asserted))
    lines += _listed(t(words.NOT_CHECKED), verdict.unchecked)
    lines += _listed(t(words.NOT_PROVEN), verdict.unproven)
    return "\n".join(map(plain, lines))


def _listed(title: str, items: Iterable[str]) -> list[str]:
    rows = [f"  {item}" for item in items]
    return ["", title, *rows] if rows else []


def json_of_many(verdict: ManyVerdict) -> str:
    """Return what checking a file of bags came to, as one JSON object."""
    said = {
        "holds": verdict.holds,
        "findings": [asdict(one) for one in verdict.findings],
        "workshop": verdict.workshop,
        "sample": verdict.drawn and sample_said(verdict.drawn),
        "bags": [{"name": name, **_said(one)} for name, one in verdict.bags],
    }
    return json.dumps(said, indent=2)


def text_of_many(name: str, verdict: ManyVerdict) -> str:
    """Return what checking a file of bags came to, in lines for people."""
    whole = sum(one.holds for _, one in verdict.bags)
    fact = t(words.BAGS_HOLD, whole=whole, bags=len(verdict.bags), holds=verdict.holds)
    lines = [f"{name}: {fact}"]
    for found in verdict.findings:
        lines += ["", f"  {found.file}: {found.what}", f"    {found.hint} [{found.code}]"]
    if verdict.drawn is not None:
        lines += ["", *sample_lines(verdict.drawn)]
    elif verdict.bags:
        lines += ["", t(words.CHOICE_NOT_PROVEN)]
    shown = list(map(plain, lines))
    for bag, one in verdict.bags:
        shown += ["", text_of(bag, one)]
    return "\n".join(shown)


def sample_said(drawn: Drawn) -> dict[str, Any]:
    """Return a sample as data."""
    frozen, said = drawn.frozen[1].entry, drawn.said[1].entry
    return {
        "freeze": frozen.id,
        "frozen_at": drawn.frozen[0],
        "drawn_at": drawn.said[0],
        "filter": frozen.body["filter"],
        "population": len(frozen.body["jobs"]),
        "size": frozen.body["size"],
        "root": frozen.body["root"],
        "word": said.body["word"],
        "jobs": drawn.jobs,
    }


def sample_lines(drawn: Drawn) -> list[str]:
    """Return a sample in lines: what was frozen, the word, and the jobs as they were drawn."""
    said = sample_said(drawn)
    wanted = ", ".join(f"{name} {_one(value)}" for name, value in said["filter"].items())
    return [
        t(words.SAMPLE, jobs=len(drawn.jobs), population=said["population"]),
        "  " + t(words.FROZEN, index=said["frozen_at"], size=said["size"], wanted=wanted or "-"),
        "  " + t(words.WORD, index=said["drawn_at"], word=said["word"]),
        *(f"  {place}. {job}" for place, job in enumerate(drawn.jobs, start=1)),
    ]


def _one(value: object) -> str:
    return " to ".join(value) if isinstance(value, list) else str(value)
