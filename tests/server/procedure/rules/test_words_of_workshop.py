"""
What a workshop takes otherwise in all its procedures: taken where an order needs it, proved like
everything else, told by whose word it is. Documents and makers are invented.
"""

from types import SimpleNamespace

import pytest
from click.testing import CliRunner

from procedure_folder import proved_folder
from tiny_procedure import TINY_RULES, TINY_SOURCE
from twoturns.bag.tell import taken_otherwise
from twoturns.cli import main
from twoturns.procedure.compare.editions import compare
from twoturns.procedure.compile.bundle import canonical, check_bundle
from twoturns.procedure.compile.compiler import compile_source
from twoturns.procedure.compile.instead import words_of_workshop
from twoturns.procedure.errors import ProcedureError, SourceErrors
from twoturns.procedure.language import schema, source
from twoturns.procedure.prove.adapted import prove_adapted
from twoturns.store.blob_texts import wants_an_owner
from twoturns.store.words_of_workshop import read_words

WORD = """instead:
  RULE:
    says: Our crank pin has a slack hole; we turn with it in.
    never: Turn the crankshaft without a belt
    unless: {UNLESS}
    because: Valves meet pistons.
    why: The hole is twice as wide as the pin.
    source: {document: Weir house sheet 3, edition: 2, page: page 1, date: 2026-02-01}
"""
RULE = "crank_turned_against_a_lock"
TURNED = TINY_SOURCE.replace("does: [lock=out, turn_crank,", "does: [turn_crank, lock=out,")


def written(unless="belt: [old, new]", rule=RULE):
    text = WORD.replace("RULE", rule).replace("{UNLESS}", f"{{{unless}}}")
    return schema.load(source.read(text.encode()), schema.WorkshopSchema())["instead"]


def proved(text, words):
    def made_with(some):
        return SimpleNamespace(compiled=compile_source(text.encode(), {}, TINY_RULES, some))

    made, proof = prove_adapted(made_with, words)
    return made.compiled.bundle, {found.code for found in proof.findings}


def word_of(bundle):
    return next((rule["instead"] for rule in bundle["rules"] if "instead" in rule), None)


def test_an_order_that_breaks_the_house_rule_takes_the_workshops_word_and_carries_it():
    assert "rule-broken" in proved(TURNED, {})[1]
    bundle, found = proved(TURNED, written())
    assert not found & {"rule-broken", "instead-needless", "instead-toothless"}
    word = word_of(bundle)
    assert (word["whose"], word["holds"]) == (
        "workshop",
        ["the old belt is on or the new belt is on"],
    )
    assert word["source"]["document"] == "Weir house sheet 3"
    step = next(step for step in bundle["steps"] if step["id"] == "two_turns")
    assert step["instead"] == [RULE]
    assert check_bundle(canonical(bundle)) == bundle


def test_it_is_for_an_owner_to_publish_and_is_told_as_the_workshops():
    bundle, _ = proved(TURNED, written())
    assert wants_an_owner(bundle)
    (rule,) = [rule for rule in bundle["rules"] if "instead" in rule]
    head, said = taken_otherwise(rule)
    assert head == "This workshop takes it otherwise"
    assert "The workshop's words: Our crank pin" in said
    changes = compare(compile_source(TINY_SOURCE.encode(), {}, TINY_RULES).bundle, bundle)
    assert any("on the workshop's word" in change.says for change in changes)


def test_an_order_that_keeps_the_house_rule_is_byte_for_byte_as_without_the_word():
    bundle, _ = proved(TINY_SOURCE, written())
    assert bundle == compile_source(TINY_SOURCE.encode(), {}, TINY_RULES).bundle


def test_a_procedures_own_word_comes_before_the_workshops():
    own = WORD.replace("RULE", RULE).replace("{UNLESS}", "{belt: new}")
    text = TURNED.replace("phases:\n", f"{own}phases:\n", 1)
    bundle, _ = proved(text, written())
    assert "whose" not in word_of(bundle)
    assert word_of(bundle)["holds"] == ["the new belt is on"]


@pytest.mark.parametrize("unless", ["high_voltage: proved_dead", "belt: [old, off, new]"])
def test_a_word_that_could_never_stop_anything_here_is_not_taken(unless):
    bundle, found = proved(TURNED, written(unless))
    assert word_of(bundle) is None
    assert "rule-broken" in found


def test_a_breach_of_what_holds_in_its_place_is_found():
    bundle, found = proved(TURNED, written("belt: old"))
    assert word_of(bundle) is not None
    assert "rule-broken" in found


@pytest.mark.parametrize(
    ("rule", "code"), [("locks_out_to_early", "unknown"), (RULE, "rule-fixed")]
)
def test_what_is_no_rule_or_nobodys_to_adapt_is_refused(rule, code):
    text = WORD.replace("RULE", rule).replace("{UNLESS}", "{belt: new}")
    with pytest.raises(SourceErrors) as refused:
        words_of_workshop(text.encode())
    assert [problem.code for problem in refused.value.problems] == [code]
    assert refused.value.problems[0].line == 3


def test_the_workshops_file_is_read_and_its_faults_are_told_by_line(tmp_path):
    assert read_words(tmp_path) == {}
    word = WORD.replace("RULE", "locks_out_too_early").replace("{UNLESS}", "{belt: [old, new]}")
    (tmp_path / "house.yaml").write_text(word)
    assert list(read_words(tmp_path)) == ["locks_out_too_early"]
    (tmp_path / "house.yaml").write_text(word.replace("    why:", "    wy:"))
    with pytest.raises(ProcedureError, match=r"house\.yaml.*\nline 3") as refused:
        read_words(tmp_path)
    assert refused.value.code == "house-words"
    folder = proved_folder(tmp_path / "tiny")
    told = CliRunner().invoke(main, ["procedure", "check", str(folder), "--data", str(tmp_path)])
    assert told.exit_code == 1
    assert "house.yaml" in told.stderr
