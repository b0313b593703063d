"""The API does what its own description says: requests made from it, answers checked against it."""

import re

import pytest
from hypothesis import HealthCheck, given, settings

from twoturns.web.problems import PROBLEMS
from workshop import Workshop, clients, publish_tiny


@pytest.fixture(scope="module")
def owner(tmp_path_factory):
    """Return the owner's client of a workshop with a job and a bundle in it."""
    workshop = Workshop(tmp_path_factory.mktemp("openapi") / "data")
    phone = workshop.enrol("owner")
    workshop.open_job(phone)
    publish_tiny(workshop.store)
    return clients(workshop)(phone)


FEW = settings(
    max_examples=12,
    deadline=None,
    derandomize=True,
    database=None,
    suppress_health_check=list(HealthCheck),
)


def test_requests_made_from_the_description_are_answered_as_it_says(owner):
    import schemathesis  # of this test alone: it takes a second to load
    from schemathesis.specs.openapi.checks import positive_data_acceptance

    described = schemathesis.openapi.from_wsgi("/api/openapi.json", owner.app)
    headers = {"Tus-Resumable": "1.0.0", **owner.headers}
    tried = []
    for found in described.get_all_operations():
        operation = found.ok()
        if operation.label == "DELETE /api/session":
            continue  # it would sign this test out
        tried.append(operation.label)

        @FEW
        @given(case=operation.as_strategy())
        def answers(case):
            # No description says that a text must carry a signature: what fits it may be refused.
            case.call_and_validate(headers=headers, excluded_checks=[positive_data_acceptance])

        answers()
    assert len(tried) >= 20


def test_the_description_is_openapi_31_and_names_every_code(owner):
    said = owner.get("/api/openapi.json").json
    assert said["openapi"] == "3.1.0"
    for code in PROBLEMS:
        assert f"`{code}`" in said["info"]["description"]


def test_every_code_that_can_be_raised_is_in_the_table():
    from twoturns.ledger import errors as ledger_errors
    from twoturns.store import errors as store_errors

    raised = {
        thing.code
        for thing in vars(ledger_errors).values()
        if isinstance(thing, type) and issubclass(thing, ledger_errors.LedgerError)
    }
    raised |= set(store_errors.LineRefused.HINTS)
    not_over_http = {"ledger", "bad-record", "bad-checkpoint"}
    assert raised - not_over_http <= set(PROBLEMS)
    for known in PROBLEMS.values():
        assert 400 <= known.status < 600
        assert re.match(r"[A-Z].*\.$", known.hint)
        assert not re.search(r"\byou\b|\byour\b|\berror\b", known.hint, re.IGNORECASE)
