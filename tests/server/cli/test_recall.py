"""`twoturns recall`: every vehicle of a lot or a tool, on the screen and as a table."""

import csv
import io
from datetime import timedelta

import pytest
from click.testing import CliRunner

from twoturns.cli import main
from twoturns.store.bundles import publish
from workshop import NOON, Workshop, opening, private_value, ref, tiny_bundle, uuid7
from wrench_found_out import FOUND, READ

BELT = {"step": "belt_on", "name": "belt", "part": "belt"}


@pytest.fixture
def shop(tmp_path):
    """Return a workshop with 120 vehicles of a lot, the first of them tightened with a wrench."""
    shop = Workshop(tmp_path / "data")
    bundle, phone = tiny_bundle(), shop.enrol("mechanic")
    publish(shop.store, bundle, NOON)
    for number in range(120):
        job = uuid7()
        values = (private_value("vin", f"TT{number}"), private_value("plate", f"W {number}"))
        customer = private_value("customer", "=cmd|'calc'!A1" if number else "Ada")
        body = opening(*values, bundle=bundle.sha256) | {"customer": ref(customer)}
        opened = phone.write("job.opened", body, job)
        fitted = phone.write("part.fitted", BELT | {"lot": "L-1"}, job)
        said = [opened, fitted] if number else [opened, phone.write("reading.taken", READ, job)]
        shop.push(*said, blobs=(*values, customer))
        shop.now += timedelta(minutes=1)
    shop.store.ledger.state("lot.recalled", {"lot": "L1", "because": "teeth"}, NOON)
    shop.store.ledger.state("tool.checked", FOUND | {"until": "2026-12-24"}, NOON)
    return shop


def run(shop, *words: str, code: int = 0) -> str:
    done = CliRunner().invoke(main, ["recall", *words, "--data", str(shop.folder)])
    assert done.exit_code == code, done.output
    return done.output


def test_all_that_is_to_be_followed_up_is_listed(shop):
    assert run(shop).splitlines() == [
        "Lot L1: 119 vehicles, 119 to do",
        "TW-2, found out on 2026-11-24: 1 vehicle, 1 to do, by 2026-12-24",
    ]


def test_every_vehicle_of_a_lot_or_a_tool_in_any_spelling(shop):
    assert len(run(shop, "l 1").splitlines()) == 120
    assert "to do  W 0  Ada" in run(shop, "tw–2")
    assert "is of X9" in run(shop, "X9")


def test_the_table_has_what_the_fastener_really_got_and_no_formula(shop, tmp_path):
    run(shop, "TW-2", "--csv", str(tmp_path / "wrench.csv"))
    head, row = read(tmp_path / "wrench.csv")
    said = dict(zip(head, row, strict=True))
    assert (said["Customer"], said["Was really"], said["Least"]) == ("Ada", "23.66", "24.96")
    run(shop, "L1", "--csv", str(tmp_path / "lot.csv"))
    head, *rows = read(tmp_path / "lot.csv")
    assert len(rows) == 119
    assert {row[head.index("Customer")] for row in rows} == {"'=cmd|'calc'!A1"}
    assert "is there already" in run(shop, "L1", "--csv", str(tmp_path / "lot.csv"), code=2)


def read(path) -> list[list[str]]:
    text = path.read_bytes().decode("utf-8-sig")
    return list(csv.reader(io.StringIO(text, newline=""), strict=True))
