"""What is being written, in a workshop that is thrown away: published as it is, at its step."""

import pytest
from click.testing import CliRunner

from procedure_folder import proved_folder
from tiny_procedure import TINY_BY_WORD
from twoturns.cli import main
from twoturns.cli.procedure import preview
from twoturns.demo.rehearsal import Rehearsal, new_rehearsal
from twoturns.procedure.compile.bundle import load
from workshop import NOON, tiny_bundle, uuid7


@pytest.fixture
def rehearsal(tmp_path):
    person = uuid7()
    store = new_rehearsal(tmp_path / "workshop", person, "Author", NOON)
    return Rehearsal(store, person, NOON)


@pytest.fixture
def folder(tmp_path):
    return proved_folder(tmp_path / "tiny")


def test_each_save_is_an_edition_more_with_a_job_at_the_step_asked_for(rehearsal, folder):
    bundle = load(folder)
    assert rehearsal.show(bundle, uuid7(), None, NOON) == "lock_in"
    assert rehearsal.show(bundle, uuid7(), "two_turns", NOON) == "two_turns"
    views = rehearsal.store.views
    assert [row["edition"] for row in views.editions("tiny")] == [1, 2]
    assert len(views.jobs_by("tiny")) == 2


def test_a_makers_word_is_shown_too(rehearsal):
    rehearsal.show(tiny_bundle(source=TINY_BY_WORD), uuid7(), None, NOON)
    assert [row["edition"] for row in rehearsal.store.views.bundles()] == [1]


def test_what_is_saved_is_told_and_a_fault_ends_nothing(rehearsal, folder, capsys):
    preview._show(rehearsal, folder, "two_turns")
    source = folder / "procedure.yaml"
    whole = source.read_text()
    source.write_text(whole.replace("edition: 1", "edition: one"))
    preview._show(rehearsal, folder, None)
    source.write_text(whole)
    preview._show(rehearsal, folder, "no_such_step")
    told = capsys.readouterr()
    assert "Saved 1 stands at: two_turns" in told.out
    assert "Saved 2 stands at: its end" in told.out
    assert "edition is not a whole number" in told.err


def test_nothing_is_left_of_it_and_it_is_served_to_this_machine_alone(folder, monkeypatch):
    served = {}

    def serve(place, **how):
        served.update(how, place=place, was_there=place.is_dir())

    monkeypatch.setattr(preview, "serve", serve)
    monkeypatch.setattr(preview, "require_free", lambda *_: None)
    monkeypatch.setattr(preview.multiprocessing, "get_context", lambda _: Showing)
    result = CliRunner().invoke(main, ["procedure", "preview", str(folder)])
    assert result.exit_code == 0, result.output
    assert "http://localhost:8439/#invite=" in result.output
    assert (served["host"], served["was_there"]) == ("127.0.0.1", True)
    assert not served["place"].exists()


class Showing:
    """A process that shows nothing: it is started and ended."""

    @staticmethod
    def Process(**_):
        return Showing()

    def start(self): ...

    def terminate(self): ...

    def join(self): ...
