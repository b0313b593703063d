"""The account of a job in no language: what it holds, how it is checked, and how long it takes."""

import json
import re

import pytest

import bag_verifier
from bags import packed, resealed, unpacked, verdict_of
from twoturns.bag import account, layout, report
from twoturns.bag.assess import account_of
from twoturns.bag.contents import of_evidence
from twoturns.bag.head import open_head, payload_hash
from twoturns.ledger import canonical
from twoturns.ledger.roster import Roster

# Names, codes, ids, decimals and the kinds of entries: nothing that would be translated.
WORD = re.compile(r"[A-Za-z0-9_.:-]{1,64}|[a-z]+\.[a-z]+ [a-z_]+")


@pytest.fixture(scope="module")
def files(rich):
    return unpacked(rich.bag())


@pytest.fixture(scope="module")
def said(files):
    return json.loads(files[layout.ACCOUNT])


def of_kind(said, files, kind):
    lines = files[layout.RECORDS].decode().splitlines()
    entries = [line.split(" ", 4)[4] for line in lines if f'"kind":"{kind}"' in line]
    return [layout.sha256(text.encode()) for text in entries]


def texts(value):
    if isinstance(value, dict):
        return [text for each in value.values() for text in texts(each)]
    if isinstance(value, list):
        return [text for each in value for text in texts(each)]
    return [value] if isinstance(value, str) else []


def test_it_is_canonical_and_in_no_language(files, said):
    assert canonical.dumps(said) == files[layout.ACCOUNT]
    assert said["edition"] == account.EDITION
    reasons = {one["reason"] for one in said["blobs"] if "reason" in one}
    others = {said["workshop_name"], *reasons}
    assert [one for one in texts(said) if not WORD.fullmatch(one) and one not in others] == []


def test_it_says_what_the_entries_come_to(files, said):
    assert said["closed"] == {"changed": False, "end": "finished"}
    assert said["approved"] == "changed"  # a question came after it
    assert said["questions"] == of_kind(said, files, "review.returned")[-1:]
    codes = {one["code"] for one in said["exceptions"]}
    assert {"failed", "reopened", "tool-lost", "gap-accepted", "shown-before"} <= codes
    (part,) = said["parts"]
    assert part["recalled_by"] == of_kind(said, files, "lot.recalled")
    (tool,) = said["tools"]
    assert tool["calibrated"] == of_kind(said, files, "tool.calibrated")
    torque = next(one for one in said["readings"] if one["values"] == ["26.0"])
    assert "holds" not in torque  # the procedure asks for no such reading
    turned = next(one for one in said["readings"] if one["values"] == ["720.0"])
    assert turned["holds"] is True
    assert said["withdrawn_by"] == of_kind(said, files, "bundle.withdrawn")
    assert "lacking" not in said
    assert "unread" not in said


def test_an_account_that_says_something_else_is_found(files, said):
    better = {**said, "exceptions": [], "edition": account.EDITION}
    for data in (canonical.dumps(better), b"{}", b"not json", b""):
        verdict = verdict_of(resealed({**files, layout.ACCOUNT: data}))
        assert {"account-differs", "payload"} <= {one.code for one in verdict.findings}


def signed_again(rich, files):
    """Make the workshop sign these files: what its server of another edition would have made."""
    ledger = rich.workshop.store.ledger
    head = open_head(files[layout.HEAD].decode(), ledger.key, ledger.workshop)
    payload = {name: layout.sha256(data) for name, data in files.items()}
    text = head.text.replace(head.payload, payload_hash(payload))
    again = {**files, layout.HEAD: ledger.sign(text).encode()}
    return resealed({**again, layout.BAG_INFO: with_oxum(again)})


def with_oxum(files):
    payload = [data for name, data in files.items() if name.startswith("data/")]
    oxum = f"Payload-Oxum: {sum(map(len, payload))}.{len(payload)}"
    return re.sub(rb"Payload-Oxum: .+", oxum.encode(), files[layout.BAG_INFO])


def test_what_a_newer_program_made_is_named_as_not_checked_beside_a_page_made_now(
    rich, files, said, tmp_path
):
    """No form and no sentence is frozen for ever: the workshop's signature covers what is not."""
    newer = canonical.dumps({**said, "edition": account.EDITION + 1, "more": "of it"})
    page = files[layout.REPORT].replace(b"Two Turns, report ", b"Two Turns, report 9")
    bag = signed_again(rich, {**files, layout.ACCOUNT: newer, layout.REPORT: page})
    verdict = verdict_of(bag, key=rich.workshop.store.ledger.workshop)
    assert verdict.findings == ()
    assert verdict.holds
    account_said, report_said = verdict.unchecked
    assert account_said.startswith(f"{layout.ACCOUNT} is of edition {account.EDITION + 1}.")
    assert report_said.startswith(f"{layout.REPORT} is of form 9{report.FORM}.")
    assert "Read this one instead" in report_said
    assert verdict.report.encode() == files[layout.REPORT]
    (tmp_path / "bag.zip").write_bytes(bag)
    assert bag_verifier.check(tmp_path / "bag.zip") == rich.workshop.store.ledger.workshop


def test_a_forger_cannot_call_his_own_page_a_newer_one(files):
    page = b'<meta name="generator" content="Two Turns, report 99"><p>All is well.'
    verdict = verdict_of(resealed({**files, layout.REPORT: page}))
    assert "payload" in {one.code for one in verdict.findings}
    headless = {n: d for n, d in files.items() if n not in layout.SINCE_EDITION_2}
    verdict = verdict_of(packed(headless))
    assert not verdict.holds


def test_each_statement_is_looked_at_once_however_many_entries_there_are(rich, monkeypatch):
    """B7 of a review: a job of 5,713 entries took 257 s, for each line asked every statement."""
    contents = of_evidence(rich.workshop.evidence(rich.work))
    calls = []
    has_right = Roster.has_right
    monkeypatch.setattr(
        Roster, "has_right", lambda *args: calls.append(1) or has_right(*args)
    )  # fmt: skip
    account_of(contents)
    # Once for the standings, once for what is stated; the roster itself asks for a few.
    assert len(calls) <= 3 * len(contents.records)
