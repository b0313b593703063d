"""`twoturns key`, as somebody at the workshop's computer uses it, with paper in hand."""

import re
from datetime import UTC, datetime

import pytest
from click.testing import CliRunner

from twoturns.cli import main
from twoturns.ledger import recovery
from twoturns.store import Store
from twoturns.store.keyring import KEY_FILE

PAPERS = [bytes([n]) * recovery.SECRET_BYTES for n in range(1, 6)]
FIRST, SECOND, THIRD, *_ = map(recovery.write, PAPERS)


@pytest.fixture
def data(tmp_path):
    return tmp_path / "data"


@pytest.fixture
def run(data, monkeypatch):
    """Run a command; `typed` is what is typed, a line each. New papers come in the order above."""
    papers = iter(PAPERS)
    monkeypatch.setattr(recovery, "generate", lambda: next(papers))

    def invoke(*words, typed=()):
        text = "".join(f"{line}\n" for line in typed)
        env = {"TWOTURNS_DATA": str(data)}
        result = CliRunner().invoke(main, words, env=env, input=text)
        assert result.exception is None or isinstance(result.exception, SystemExit), words
        return result.exit_code, result.output

    assert invoke("init", "--name", "Weir")[0] == 0
    return invoke


def test_init_prints_a_paper_that_recovers(run, data):
    before = Store(data).ledger.key
    (data / KEY_FILE).unlink()
    for words in (
        ["serve"],
        ["backup", str(data) + "-2"],
        ["enrol", "--role", "owner", "--name", "A"],
        ["revoke", "x", "--because", "y"],
        ["jobs"],
        ["rebuild"],
        ["key", "rotate"],
        ["key", "show"],
    ):
        code, printed = run(*words)
        assert (code, "workshop.key is missing" in printed) == (1, True), words
        assert "twoturns key recover" in printed
    typed = [FIRST.lower().replace("-", " "), SECOND]
    code, printed = run("key", "recover", typed=typed)
    assert (code, "Recovered." in printed, SECOND in printed) == (0, True, True)
    now = Store(data).ledger.key
    assert now != before
    assert now in printed
    assert run("jobs")[0] == 0


def test_a_wrong_paper_is_told_before_the_next_one_is_printed(run, data):
    code, printed = run("key", "recover", typed=[THIRD, SECOND])
    assert (code, "not the recovery key in force" in printed, SECOND in printed) == (1, True, False)
    code, printed = run("key", "recover", typed=[FIRST[:-1] + "A"])
    assert (code, "a character of the recovery key is wrong" in printed) == (1, True)
    code, printed = run("key", "recover", "--trusted", "99", typed=[FIRST])
    assert (code, "cannot be what is trusted: from 1 to 1 can" in printed) == (1, True)


@pytest.mark.parametrize("typed", [[FIRST], [FIRST, THIRD], [FIRST, SECOND[:-1] + "A"]])
def test_a_paper_that_nobody_wrote_down_changes_nothing(run, data, typed):
    key = Store(data).ledger.key
    assert run("key", "recover", typed=typed)[0] == 1
    assert Store(data).ledger.key == key
    assert run("key", "recover", typed=[FIRST, THIRD])[0] == 0


def test_what_a_stolen_key_stated_is_listed(run, data):
    for name in ("Mine", "Thief"):
        assert run("enrol", "--role", "owner", "--name", name)[0] == 0
    trusted = str(Store(data).ledger.size() - 3)
    code, printed = run("key", "recover", "--trusted", trusted, typed=[FIRST, SECOND])
    assert code == 0
    assert re.search(r"1 statement device\.invited\n", printed)
    code, printed = run("key", "show", "--statements", "3")
    assert code == 0
    assert re.search(r"\n +\d+  20\d\d-[^\n]+ UTC  workshop\.keyed\n", printed)
    for said in ("recovered", "key before", "recovery key, worthless"):
        assert said in printed


def test_what_a_thief_may_have_stated_is_listed_before_the_paper_is_spent(run, data):
    assert run("enrol", "--role", "owner", "--name", "Thief")[0] == 0
    before = Store(data).ledger.size()
    code, printed = run("key", "recover", typed=[FIRST, SECOND])
    assert (code, "from paper" in printed, SECOND in printed) == (2, False, False)
    (listed,) = re.findall(
        r"\n +(\d+)  20[^\n]+ UTC  an open invitation of one owner, by a", printed
    )
    assert "--trusted N" in printed
    assert "--trust-all" in printed
    assert Store(data).ledger.size() == before
    assert run("key", "recover", "--trusted", listed, "--trust-all")[0] == 2
    assert run("key", "recover", "--trusted", listed, typed=[FIRST, SECOND])[0] == 0
    code, printed = run("key", "recover", typed=[SECOND, THIRD])
    assert (code, "Recovered." in printed) == (0, True)  # nothing of it stands any more


def test_who_trusts_all_says_so(run, data):
    assert run("enrol", "--role", "owner", "--name", "Mine")[0] == 0
    assert run("key", "recover", "--trust-all", typed=[FIRST, SECOND])[0] == 0
    owner = Store(data).ledger.statements("device.invited")[-1].entry.id
    assert Store(data).ledger.roster().invitation(owner) is not None


def test_a_new_key_and_a_new_paper(run, data):
    fingerprint = Store(data).ledger.workshop
    assert run("key", "rotate")[0] == 0
    code, printed = run("key", "commit", typed=[THIRD, SECOND])
    assert (code, "not the recovery key in force" in printed) == (1, True)
    code, printed = run("key", "commit", typed=[FIRST, THIRD])
    assert (code, "worthless" in printed) == (0, True)
    code, printed = run("key", "show")
    assert (code, fingerprint in printed) == (0, True)
    assert recovery.signing_key(PAPERS[2]).thumbprint in printed


def test_an_older_workshop_makes_its_paper_later(run, data, tmp_path):
    old = tmp_path / "old"
    Store.create(old, "Weir", datetime.now(UTC))
    code, printed = run("key", "show", "--data", str(old))
    assert (code, "none: make one with twoturns key commit" in printed) == (0, True)
    code, printed = run("key", "recover", "--data", str(old), typed=[FIRST, SECOND])
    assert (code, "has no recovery key" in printed) == (1, True)
    assert run("key", "commit", "--data", str(old), typed=[SECOND])[0] == 0
    code, printed = run("key", "show", "--data", str(old))
    assert recovery.signing_key(PAPERS[1]).thumbprint in printed
