"""
The process that checks one draft: `python -m twoturns.store.prove_draft PLACE`.

It compiles and proves what `draft_checks` has put there, and writes what it found. It ends by
itself at the end of what it may take of processor, memory and time, which is a finding like any
other. Proving a procedure of a million states takes 18 s and 340 MiB.
"""

import json
import os
import resource
import signal
import sys
import time
from collections.abc import Callable
from dataclasses import asdict
from functools import partial
from pathlib import Path
from typing import Any

from twoturns.procedure.compile.bundle import Bundle, bundle_of
from twoturns.procedure.errors import Place, ProcedureError, SourceError, SourceErrors
from twoturns.procedure.prove.adapted import prove_adapted
from twoturns.procedure.prove.finding import Finding
from twoturns.store.draft import unpacked
from twoturns.store.draft_checks import DRAFT, REPORT, STATES
from twoturns.store.drafts import version_of
from twoturns.store.words_of_workshop import read_words
from twoturns.words import t
from twoturns.words.en.store import prove_draft as words

MOST_BYTES = 1024 * 2**20
MOST_CPU_SECONDS = 120
MOST_SECONDS = 300
TELL_SECONDS = 0.3
LOW_PRIORITY = 10

Report = dict[str, Any]


class _TooLongError(Exception):
    """The processor's time, or the day's, is used up."""


def main(place: Path) -> None:
    """Check the draft in a place, and leave the report there."""
    _bound()
    data = (place / DRAFT).read_bytes()
    try:
        found = _checked(place, data, _teller(place))
    except MemoryError:
        found = _given_up("too-much-memory", t(words.TOO_MUCH_MEMORY, mib=MOST_BYTES // 2**20))
    except _TooLongError:
        found = _given_up("too-long", t(words.TOO_LONG))
    fresh = place / f"{REPORT}.new"
    fresh.write_text(json.dumps({"version": version_of(data), **found}))
    fresh.replace(place / REPORT)


def _checked(place: Path, data: bytes, tell: Callable[[int], None]) -> Report:
    draft = unpacked(data)
    try:
        text = draft.text.encode()
        made_with = partial(bundle_of, text, draft.pictures, blocks=draft.blocks)
        bundle, proof = prove_adapted(made_with, read_words(place), tell)
    except SourceErrors as errors:
        return _report([_fault(one) for one in errors.problems])
    except ProcedureError as error:
        return _report([_found(Finding(error.code, str(error), error.hint))])
    findings, notes = ([_found(one) for one in found] for found in (proof.findings, proof.notes))
    return {
        **_report(findings, bundle),
        "notes": notes,
        "states": proof.states,
        "rules_proven": len(proof.rules_proven),
    }


def _report(findings: list[Report], bundle: Bundle | None = None) -> Report:
    return {
        "findings": findings,
        "notes": [],
        "states": 0,
        "rules_proven": 0,
        "bundle": bundle and bundle.canonical.decode(),
        "sha256": bundle and bundle.sha256,
    }


def _given_up(code: str, message: str) -> Report:
    return _report([_found(Finding(code, message, t(words.SMALLER)))])


def _fault(one: SourceError) -> Report:
    place = Place(one.line, one.block)
    found = _found(Finding(one.code, one.message, one.hint, place=place))
    return {**found, "column": one.column}


def _found(finding: Finding) -> Report:
    said = asdict(finding)
    place = said.pop("place") or {"line": None, "block": None}
    return {"column": None, **said, **place}


def _teller(place: Path) -> Callable[[int], None]:
    last = 0.0

    def tell(states: int) -> None:
        nonlocal last
        if time.monotonic() - last >= TELL_SECONDS:
            last = time.monotonic()
            fresh = place / f"{STATES}.new"
            fresh.write_text(str(states))
            fresh.replace(place / STATES)

    return tell


def _bound() -> None:
    """Set the ends: of memory, of processor, of time."""
    os.nice(LOW_PRIORITY)
    resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))
    # The second is of the system, should the first not be heard.
    resource.setrlimit(resource.RLIMIT_CPU, (MOST_CPU_SECONDS, MOST_CPU_SECONDS + 5))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    for heard in (signal.SIGXCPU, signal.SIGALRM):
        signal.signal(heard, _too_long)
    signal.setitimer(signal.ITIMER_REAL, MOST_SECONDS)


def _too_long(*_: object) -> None:
    raise _TooLongError


if __name__ == "__main__":
    main(Path(sys.argv[1]))
