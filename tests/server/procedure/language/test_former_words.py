"""`needs`, `uses` and `on` are read as `asks`, `takes` and `doing`, and the author is told."""

import pytest

from procedure_folder import tiny_text
from twoturns.procedure.compile.compiler import compile_source
from twoturns.procedure.errors import SourceErrors
from twoturns.procedure.prove.prove import prove_compiled

RULE = (
    "rules:\n  no_turn: {kind: stop, never: Turn it, doing: [turn_crank], because: No.}\nsteps:\n"
)
KIT = "\nkit:\n  belt: {label: belt, count: 1, single_use: yes}\n"


def whole():
    text = tiny_text().replace("steps:\n", RULE, 1) + KIT
    return text.replace(
        "    asks: {lock: in, belt: off}\n",
        "    asks: {lock: in, belt: off}\n    takes: {belt: 1}\n",
    )


def formerly(text):
    text = text.replace("    asks:", "    needs:").replace("    takes:", "    uses:")
    return text.replace(" doing: [", " on: [")


def test_a_source_in_the_former_words_gives_the_same_bundle():
    now, then = whole(), formerly(whole())
    assert all(word in then for word in ("needs:", "uses:", " on: ["))
    assert compile_source(then.encode(), {}).bundle == compile_source(now.encode(), {}).bundle


def test_each_former_word_is_one_note_with_its_first_line():
    then = formerly(whole())
    notes = prove_compiled(compile_source(then.encode(), {})).notes
    told = {note.message: note.line for note in notes if note.code == "former-word"}
    lines = then.splitlines()
    firsts = [
        next(at for at, line in enumerate(lines, 1) if word in line)
        for word in (" needs:", " uses:", " on: [")
    ]
    assert list(told) == [
        "'needs' is called 'asks' now and stands 4 times here",
        "'uses' is called 'takes' now and stands once here",
        "'on' is called 'doing' now and stands once here",
    ]
    assert list(told.values()) == firsts


def test_the_present_words_are_not_remarked_on():
    notes = prove_compiled(compile_source(whole().encode(), {})).notes
    assert not [note for note in notes if note.code == "former-word"]


def test_a_fault_below_a_former_word_is_told_at_its_line():
    text = tiny_text().replace("asks: {lock: out}", "needs: {lok: out}")
    with pytest.raises(SourceErrors) as caught:
        compile_source(text.encode(), {})
    (fault,) = caught.value.problems
    assert "lok" in text.splitlines()[fault.line - 1]


def test_both_words_for_one_thing_are_refused():
    text = tiny_text().replace(
        "    asks: {lock: out}\n", "    asks: {lock: out}\n    needs: {belt: new}\n"
    )
    with pytest.raises(SourceErrors, match="both stand here") as caught:
        compile_source(text.encode(), {})
    (fault,) = caught.value.problems
    assert (fault.code, text.splitlines()[fault.line - 1].strip()) == (
        "twice",
        "needs: {belt: new}",
    )
