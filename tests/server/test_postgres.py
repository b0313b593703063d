"""The tests' own PostgreSQL: who runs it, how it sorts, and that a standby has what was told."""

from pathlib import Path

import psycopg
import pytest

from postgres import replicated

pytestmark = pytest.mark.slow(6)


def test_it_is_not_run_by_root_nor_used_by_a_superuser(postgres):
    assert Path(f"/proc/{postgres.process.pid}").stat().st_uid != 0
    with psycopg.connect(postgres.url) as connection:
        row = connection.execute("select rolsuper from pg_roles where rolname = current_user")
        assert row.fetchone() == (False,)


def test_text_is_sorted_by_a_language_unless_c_is_said(postgres):
    letters = "(values ('B'), ('a'), ('_')) as letters (letter)"
    by_language = f"select string_agg(letter, '' order by letter) from {letters}"
    assert postgres.ask(by_language) == ("_aB",)
    assert postgres.ask(by_language.replace("order by letter", 'order by letter collate "C"')) == (
        "B_a",
    )


def test_what_a_killed_primary_told_as_done_stands_in_its_standby():
    with replicated() as pair:
        with psycopg.connect(pair.url, autocommit=True) as connection:
            connection.execute("create schema told")
            connection.execute("create table told.said (word integer)")
            for word in range(50):
                connection.execute("insert into told.said values (%s)", [word])
        pair.primary.kill()
        pair.standby.promote()
        with psycopg.connect(pair.url, autocommit=True) as connection:
            assert connection.execute("select count(*) from told.said").fetchone() == (50,)
            connection.execute("insert into told.said values (51)")
