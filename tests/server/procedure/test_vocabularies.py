"""Whoever adds an instrument or a kind of proof is led to each place that must know it."""

from typing import get_args

from twoturns.bag.recompute import COMPUTED
from twoturns.ledger.bodies_of_jobs import INSTRUMENTS
from twoturns.procedure import shape
from twoturns.procedure.language.schema import INSTRUMENT_UNITS, PROOF_FIELDS
from twoturns.procedure.machine import step_proofs
from twoturns.words.en.bag.readings import BY
from twoturns.words.en.procedure.compile import reference


def test_each_instrument_has_its_units_its_entry_its_words_and_is_computed_anew():
    instruments = set(get_args(shape.Way)) - {"hand"}
    assert set(INSTRUMENTS) == instruments
    assert INSTRUMENT_UNITS.keys() == instruments
    assert COMPUTED.keys() == instruments
    assert BY.keys() == {*instruments, "scan"}


def test_each_kind_of_proof_has_its_fields_its_entries_and_is_told():
    kinds = set(get_args(shape.ProofKind))
    assert PROOF_FIELDS.keys() == kinds
    assert step_proofs.KINDS.keys() == kinds - {"confirm"}  # what a hand says is no entry
    told = reference.KEY["proof.kind"]
    assert all(kind in told for kind in kinds)
