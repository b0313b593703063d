"""
What is asked while people wait grows with the answer, not with what is held: no statement reads a
table that grows from end to end. Against SQLite's own EXPLAIN QUERY PLAN, whose SCAN is that.
"""

import re

import pytest

from twoturns.store.bundles import publish
from twoturns.store.desk import desk
from twoturns.store.summaries import renew
from workshop import NOON, opening, private_value, ref, tiny_bundle, uuid7

# As many rows as there is work; the others grow with procedures, people, tools and recalls.
GROWING = {"entries", "records", "nodes", "jobs", "finders", "mentions", "kept", "erased"}
GROWING |= {"summaries", "held_mentions", "worked_on"}

OF_SOME = "USING INDEX summaries_unsettled"  # an index of the jobs that are not settled alone


@pytest.fixture(scope="module")
def asked(tmp_path_factory):
    """Return a function that runs a question and returns the plans of what it asked of SQLite."""
    from workshop import Workshop

    shop = Workshop(tmp_path_factory.mktemp("plans") / "data")
    owner, phone = shop.enrol("owner"), shop.enrol("mechanic")
    bundle = tiny_bundle()
    publish(shop.store, bundle, NOON)
    shop.push(owner.write("lot.recalled", {"lot": "L7", "because": "teeth"}))
    for number in range(3):
        job, words = uuid7(), private_value("words", f"oily {number}")
        values = private_value("vin", f"TT{number}"), private_value("plate", f"W{number}")
        shop.push(
            phone.write("job.opened", opening(*values, bundle=bundle.sha256), job), blobs=values
        )
        part = {"step": "fit", "name": "belt", "part": "belt", "lot": f"L{number}"}
        shop.push(phone.write("part.fitted", part, job))
        shop.push(phone.write("note.added", {"text": ref(words)}, job), blobs=(words,))
    renew(shop.store, set(), most=2)

    def plans_of(question) -> list[str]:
        connection, statements = shop.store.database.connection().conn, []
        connection.set_trace_callback(statements.append)
        try:
            question(shop.store, phone, job)
        finally:
            connection.set_trace_callback(None)
        selects = [one for one in statements if one.lstrip().lower().startswith("select")]
        assert selects, "nothing was asked"
        return [
            f"{row[3]}  in  {' '.join(one.split())[:200]}"
            for one in dict.fromkeys(selects)
            for row in connection.execute(f"explain query plan {one}")
        ]

    return plans_of


QUESTIONS = {
    "the desk": lambda store, _, __: desk(store, "2026-01-01T00:00:00.000Z"),
    "a vehicle": lambda store, _, __: store.views.find("vin", "TT1"),
    "a lot": lambda store, _, __: store.views.find("lot", "L1"),
    "the log": lambda store, _, __: store.pages.page(5, limit=2),
    "a job's log": lambda store, _, job: store.pages.page(0, limit=50, job=job),
    "a job": lambda store, _, job: store.ledger.job_entries(job),
    "what speaks against a job": lambda store, _, job: store.views.notices(job),
    "whether a blob is kept": lambda store, _, __: store.views.has_blob("0" * 64, None),
    "whose a blob is": lambda store, _, job: store.views.other_jobs("0" * 64, job),
    "a receipt": lambda store, _, __: store.ledger.record(3),
}


def scanned(plans: list[str]) -> list[str]:
    found = [(re.match(r"SCAN (\w+)", plan), plan) for plan in plans if OF_SOME not in plan]
    return [plan for scan, plan in found if scan and scan[1] in GROWING]


@pytest.mark.parametrize("name", QUESTIONS)
def test_no_question_reads_a_growing_table_from_end_to_end(asked, name):
    assert scanned(asked(QUESTIONS[name])) == []


def test_a_scan_would_be_found(asked):
    def everything(store, *_):
        store.database.rows("select * from entries where kind = 'job.opened'")

    assert len(scanned(asked(everything))) == 1
