"""Faults planted into the van's source, and what finds them without a walk."""

import re

from demo_procedures import VAN, text_of
from twoturns.procedure.compile.compiler import compile_source
from twoturns.procedure.prove.packed import Packed
from twoturns.procedure.prove.phrases import Words
from twoturns.procedure.prove.straight import straight_run


def planted(*changes, name=VAN):
    """The text of a demo with each of these parts, met once, put otherwise."""
    return changed(text_of(name), *changes)


def changed(text, *changes):
    """A text with each of these parts, met once, put otherwise."""
    for old, new in changes:
        assert text.count(old) == 1, (text.count(old), old)
        text = text.replace(old, new)
    return text


def moved(text, step, before):
    """A source with a step's lines put before another step's."""
    begin = text.index(f"  - id: {step}\n")
    end = re.compile(r"\n(?=  - id: |\S)").search(text, begin).end()
    lines = text[begin:end]
    rest = text[:begin] + text[end:]
    at = rest.index(f"  - id: {before}\n")
    return rest[:at] + lines + rest[at:]


def found_in(text, check, rules=None):
    """
    The findings of one check of a source, each at a line that is there.

    Args:
        text: The source.
        check: Takes the bundle, its machine, its words and its straight job.
        rules: The house rules, if not those of the program.
    """
    compiled = compile_source(text.encode(), {}, rules)
    packed = Packed(compiled.bundle["machine"])
    words = Words(compiled.bundle, compiled.document)
    return list(check(compiled.bundle, packed, words, straight_run(packed)))


def require_told(text, finding, code, says, line):
    """Require that a finding is told by its code, in words, at its line, with a hint."""
    assert finding.code == code
    assert says in finding.message
    assert line_of(text, finding).startswith(line)
    assert finding.hint


def line_of(text, finding):
    """The source's line at which a finding stands."""
    return text.splitlines()[finding.line - 1].strip()
