"""The command line as the owner uses it: what it prints, what it refuses, and how it ends."""

import ast
import json
import os
import re
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from pathlib import Path

import click
import pytest
import segno
from click.testing import CliRunner

from invitations import invitation_in
from ports import free_port
from procedure_folder import proved_folder
from twoturns.cli import COMMANDS, main
from twoturns.cli.parts import new_person
from twoturns.ledger import forms, keys
from twoturns.ledger.keys import SigningKey
from twoturns.ledger.record import parse
from twoturns.store import Store
from twoturns.store.enrolment import let_in
from workshop import NOON, Phone, Workshop, uuid7


@pytest.fixture
def data(tmp_path):
    return tmp_path / "data"


@pytest.fixture
def run(data):
    """Run a command on the test's folder; returns its exit code and what it printed."""

    def invoke(*words: str) -> tuple[int, str]:
        result = CliRunner().invoke(main, words, env={"TWOTURNS_DATA": str(data)})
        assert result.exception is None or isinstance(result.exception, SystemExit), words
        return result.exit_code, result.output

    return invoke


@pytest.fixture
def workshop(run, data):
    assert run("init", "--name", "Workshop at the Weir")[0] == 0
    return Store(data)


@pytest.fixture
def made(run, data):
    assert run("init", "--name", "Workshop at the Weir")[0] == 0
    return data


def test_init_makes_a_workshop_and_prints_its_fingerprint(run, data):
    code, printed = run("init", "--name", "Workshop at the Weir")
    store = Store(data)
    assert code == 0
    assert store.ledger.workshop in printed
    assert store.name == "Workshop at the Weir"
    assert (data / "workshop.key").stat().st_mode & 0o777 == 0o600
    assert data.stat().st_mode & 0o777 == 0o700
    code, printed = run("init", "--name", "Another")
    assert (code, "is not empty" in printed) == (1, True)
    assert Store(data).name == "Workshop at the Weir"


def test_no_command_works_without_a_workshop(run, tmp_path):
    for words in (["jobs"], ["rebuild"], ["enrol", "--role", "owner", "--name", "A"], ["serve"]):
        code, printed = run(*words)
        assert (code, "holds no workshop" in printed, "twoturns init" in printed) == (1, True, True)


def test_an_invitation_lets_one_device_in(run, workshop):
    code, printed = run("enrol", "--role", "mechanic", "--name", "Ada Weir")
    link = printed.splitlines()[0]
    invitation = invitation_in(link.partition("#invite=")[2])
    assert code == 0
    assert link.startswith("http://localhost:8437/#invite=")
    assert (invitation.workshop, invitation.role) == (workshop.ledger.workshop, "mechanic")
    assert "Ada Weir" not in "".join(text for _, text in workshop.pages.page(0, limit=99).records)

    phone = Phone(invitation.workshop, invitation.person, invitation.role)
    secret = SigningKey.from_seed(invitation.secret)
    line = Workshop.enrolment(None, phone, invitation.invitation, secret).line
    let_in(workshop, line, datetime.now(UTC))
    assert workshop.views.device(phone.id).role == "mechanic"

    code, printed = run("revoke", phone.id[:8], "--because", "lost on the A3")
    assert (code, phone.id in printed) == (0, True)
    assert workshop.views.device(phone.id).is_revoked
    code, printed = run("revoke", "nobody", "--because", "x")
    assert (code, phone.id in printed) == (1, True)


def test_an_auditor_is_invited_to_a_scope(run, workshop):
    job = uuid7()
    limits = ["--job", job, "--from", "2026-10-01", "--value", "plate", "--until-day", "2026-12-31"]
    assert run("enrol", "--role", "auditor", "--name", "Cleo Moss", *limits)[0] == 0
    (record,) = [
        parse(text).entry
        for _, text in workshop.pages.page(0, limit=99).records
        if parse(text).entry.kind == "device.invited"
    ]
    assert record.body["scope"] == {
        "jobs": [job],
        "days": ["2026-10-01", "9999-12-31"],
        "values": ["plate"],
        "end": "2026-12-31T23:59:59.000Z",
    }
    assert run("enrol", "--role", "mechanic", "--name", "Ada Weir", *limits)[0] == 2


def test_a_person_is_admitted_on_a_phone_of_the_bay(run, workshop):
    made = Workshop.__new__(Workshop)
    made.store, made.now = workshop, NOON
    bay, owner = made.enrol("mechanic"), made.enrol("owner")
    code, printed = run("admit", bay.id, "--name", "Cleo Moss")
    (other,) = set(workshop.views.persons_on(bay.id)) - {bay.person}
    assert (code, other in printed) == (0, True)
    code, printed = run("admit", bay.id, "--person", owner.person)
    assert (code, "higher role" in printed) == (1, True)
    assert workshop.views.persons_on(bay.id) == sorted([bay.person, other])
    assert run("admit", bay.id, "--nobody")[0] == 0
    assert workshop.views.persons_on(bay.id) == [bay.person]


@pytest.mark.parametrize("start", ["-", "--", "-h"])
def test_a_thumbprint_that_begins_with_a_hyphen_is_no_option(run, workshop, start):
    made = Workshop.__new__(Workshop)
    made.store, made.now = workshop, NOON
    invitation, secret, person = made.invite("mechanic")
    phone = Phone(workshop.ledger.workshop, person, "mechanic")
    while not phone.id.startswith(start):
        phone.key = SigningKey.generate()
    let_in(workshop, made.enrolment(phone, invitation, secret).line, NOON)
    for name in ("admit", "held"):
        for words in ((phone.id,), ("--", phone.id)):
            code, printed = run(name, *words)
            assert code == 0, printed
    code, printed = run("revoke", phone.id, "--because", "lost")
    assert (code, phone.id in printed) == (0, True), printed
    assert workshop.views.device(phone.id).is_revoked
    code, printed = run("shut", phone.id, "--becuase", "lost")
    assert (code, "--because" in printed) == (2, True), printed


def test_any_entry_of_a_device_is_accepted_by_its_id_a_forked_one_too(run, workshop):
    made = Workshop.__new__(Workshop)
    made.store, made.now = workshop, NOON
    phone, other, job = made.enrol("mechanic"), made.enrol("mechanic"), uuid7()
    one = phone.write("job.taken", {}, job)
    twin = phone.write("step.begun", {"step": "fit"}, job, seq=one.seq)
    made.push(one, twin)

    def marks():
        return {r.entry.id: standing for _, r, standing in workshop.ledger.job_entries(job)}

    assert marks() == {one.id: "forked", twin.id: "forked"}
    code, printed = run("accept", other.id, "--entry", one.id, "--because", "seen")
    assert (code, "is not an entry of this device" in printed) == (1, True)
    code, printed = run("accept", phone.id, "--entry", one.id, "--because", "seen")
    assert (code, "1 entry" in printed) == (0, True)
    assert marks() == {one.id: "good", twin.id: "forked"}


def test_what_a_revoked_device_sent_is_listed_and_ruled_on(run, workshop):
    made = Workshop.__new__(Workshop)
    made.store, made.now = workshop, NOON
    phone = made.enrol("mechanic")
    run("revoke", phone.id, "--because", "lost")
    said = [phone.write("job.taken", {}, uuid7()) for _ in range(120)]
    made.push(*said)
    code, printed = run("held")
    assert (code, "120 entries in 120 jobs" in printed, phone.id in printed) == (0, True, True)
    code, printed = run("held", phone.id)
    assert (code, said[7].id in printed) == (0, True)
    code, printed = run("refuse", phone.id, "--entry", said[0].id, "--because", "no")
    assert (code, "1 entry" in printed) == (0, True)
    code, printed = run("refuse", phone.id, "--entry", said[0].id, "--because", "no")
    assert (code, "is not held back" in printed) == (1, True)
    code, printed = run("accept", phone.id, "--because", "seen")
    assert (code, "119 entries" in printed) == (0, True)
    shown = {parse(text).entry.id for _, text in workshop.pages.page(0, limit=500).records}
    assert {one.id for one in said} - shown == {said[0].id}
    assert run("held")[1].strip() == "Nothing is held back."
    assert run("accept", phone.id, "--because", "again")[0] == 1
    assert run("shut", phone.id, "--because", "stolen")[0] == 0
    assert workshop.views.device(phone.id).is_shut
    other = made.enrol("mechanic")
    assert run("shut", other.id, "--because", "stolen")[0] == 0
    assert workshop.views.device(other.id).is_revoked


def test_an_invitation_is_also_a_code_to_be_scanned(run, workshop):
    _, printed = run("enrol", "--role", "mechanic", "--name", "Ada Weir", "--qr")
    link, *drawn = printed.splitlines()
    code = segno.make_qr(link, error="L", boost_error=False)
    blocks = {(0, 0): "█", (0, 1): "▀", (1, 0): "▄", (1, 1): " "}  # dark is what is not printed
    rows = [list(row) for row in code.matrix_iter(border=4)]
    rows += [[1] * len(rows[0])] * (len(rows) % 2)
    pairs = zip(rows[::2], rows[1::2], strict=True)
    assert drawn[: len(rows) // 2] == [
        "".join(blocks[pair] for pair in zip(*two, strict=True)) for two in pairs
    ]
    assert "█" not in run("enrol", "--role", "mechanic", "--name", "Bo Sluice")[1]


def test_jobs_are_listed_with_their_plate(run, data, tmp_path):
    workshop = Workshop(data)
    job = workshop.open_job(workshop.enrol("mechanic"))
    code, printed = run("jobs")
    assert (code, job in printed, "WEIR 12" in printed, "open" in printed) == (0, True, True, True)
    (row,) = [json.loads(line) for line in run("jobs", "--json")[1].splitlines()]
    assert (row["job"], row["plate"]) == (job, "WEIR 12")


def test_rebuild_and_backup_say_what_they_covered(run, data, tmp_path):
    workshop = Workshop(data)
    workshop.open_job(workshop.enrol("mechanic"))
    code, printed = run("rebuild")
    assert (code, "5 records hold" in printed) == (0, True)
    code, printed = run("backup", str(tmp_path / "backup"))
    assert (code, "5 records" in printed) == (0, True)
    (data / "house.yaml").mkdir()  # it cannot be read: the rest is backed up, and it is said
    code, printed = run("backup", str(tmp_path / "backup"))
    assert code == 1
    assert "house.yaml" in printed
    assert "NOT in this backup" in printed
    code, printed = run("backup", str(data / "inside"))
    assert (code, "another disk" in printed) == (1, True)
    photo = workshop.store.blobs.put(b"photo")
    workshop.store.ledger.keep([photo], NOON)
    workshop.store.blobs.path(photo).unlink()
    code, printed = run("rebuild")
    assert (code, photo in printed) == (1, True)


@pytest.fixture
def procedure(tmp_path):
    """Return the folder of a procedure that is proved."""
    return proved_folder(tmp_path / "tiny")


def test_a_procedure_is_published_once(run, workshop, procedure):
    assert run("procedure", "check", str(procedure))[0] == 0
    assert workshop.views.bundles() == []
    assert run("procedure", "publish", str(procedure))[1].endswith("Published.\n")
    code, printed = run("procedure", "publish", str(procedure))
    assert (code, "published already" in printed) == (0, True)
    assert [row["id"] for row in workshop.views.bundles()] == ["tiny"]
    source = procedure / "procedure.yaml"
    source.write_text(source.read_text().replace("A tiny drive", "A small drive"))
    code, printed = run("procedure", "publish", str(procedure))
    assert (code, "Set edition to 2" in printed) == (1, True)


def test_a_procedure_with_a_fault_is_not_published(run, workshop, procedure):
    source = procedure / "procedure.yaml"
    good = source.read_text()
    source.write_text(good.replace("asks: {lock: in}", "asks: {lock: out}"))
    code, printed = run("procedure", "publish", str(procedure))
    assert (code, "is not proved" in printed, "Finding 1, line " in printed) == (1, True, True)
    source.write_text(good.replace("must", "mist").replace("phase: off", "phase: of"))
    code, printed = run("procedure", "publish", str(procedure))
    assert (code, "line " in printed) == (1, True)
    assert workshop.views.bundles() == []


def test_wrong_use_ends_with_2_and_names_the_option(run, workshop):
    for words in (["enrol", "--role", "king", "--name", "A"], ["init"], ["procedure", "check"]):
        code, printed = run(*words)
        assert (code, "Usage:" in printed) == (2, True)


def test_a_backup_is_put_back_into_a_new_folder_and_says_what_it_lacks(run, data, tmp_path):
    workshop, copy, new = Workshop(data), str(tmp_path / "backup"), tmp_path / "new"
    photos = [workshop.store.blobs.put(data) for data in (b"one", b"two")]
    workshop.store.ledger.keep(photos, NOON)
    assert run("backup", copy)[0] == 0
    workshop.enrol("mechanic")
    assert run("backup", copy)[0] == 0
    code, printed = run("restore", copy)
    assert (code, "is not empty" in printed) == (1, True)
    code, printed = run("restore", copy, "--data", str(new), "--size", "9")
    assert (code, "Ledgers in this one: 5, 2." in printed) == (1, True)
    code, printed = run("restore", copy, "--data", str(new), "--size", "2")
    assert (code, "2 records are back" in printed, "put workshop.key into" in printed) == (
        0,
        True,
        True,
    )
    code, printed = run("jobs", "--data", str(new))
    assert (code, "workshop.key is missing" in printed) == (1, True)
    for photo in photos:
        (tmp_path / "backup" / "blobs" / photo[:2] / photo).unlink()
    code, printed = run("restore", copy, "--data", str(tmp_path / "newer"))
    assert (code, "5 records are back" in printed) == (1, True)
    assert all(photo in printed for photo in photos)


def test_a_ledger_that_lost_its_log_is_refused_and_gone_on_with_knowingly(run, data):
    workshop = Workshop(data)
    workshop.enrol("mechanic")
    code, printed = run("accept-loss")
    assert (code, "has lost nothing" in printed) == (1, True)
    db = workshop.store.database.connection()
    db.execute('delete from records where "index" = 2')
    db.execute("delete from nodes where level = 0 and number = 2")
    for words in (["serve"], ["jobs"], ["backup", "elsewhere"]):
        code, printed = run(*words)
        assert (code, "has 2 records, and had 3" in printed) == (1, True), words
        assert "twoturns accept-loss" in printed
    code, printed = run("accept-loss")
    assert (code, "the 2 records that are left are whole" in printed) == (0, True)
    assert run("enrol", "--role", "owner", "--name", "A. Person")[0] == 0


def test_a_changed_record_stops_the_server_before_it_serves(run, data):
    workshop = Workshop(data)
    workshop.enrol("mechanic")
    db = workshop.store.database.connection()
    db.execute("update records set record = replace(record, '2026-', '2025-') where \"index\" = 1")
    code, printed = run("serve")
    assert (code, "the record at 1 is not the one" in printed) == (1, True)
    assert "twoturns restore" in printed


ADDING = [
    ["enrol", "--role", "owner", "--name", "A. Person"],
    ["revoke", "x", "--because", "y"],
    ["shut", "x", "--because", "y"],
    ["key", "rotate"],
    ["erase", "rule", "--days", "9", "--most", "9"],
    ["erase", "run"],
]


@pytest.mark.parametrize("words", ADDING, ids=" ".join)
def test_nothing_is_signed_over_a_changed_record(run, data, words):
    workshop = Workshop(data)
    workshop.enrol("mechanic")
    db = workshop.store.database.connection()
    db.execute("update records set record = replace(record, '2026-', '2025-') where \"index\" = 1")
    size = workshop.store.ledger.size()
    code, printed = run(*words)
    assert (code, "the record at 1 is not the one" in printed) == (1, True)
    assert workshop.store.ledger.size() == size


@pytest.mark.parametrize("words", [*ADDING, ["serve"], ["rebuild"], ["jobs"], ["key", "show"]])
def test_a_record_that_can_be_read_no_more_is_called_damaged(run, data, words):
    workshop = Workshop(data)
    workshop.enrol("owner")
    change = 'update records set record = replace(record, ?, ?) where "index" = 1'
    changes = ['"role":"owner"', '"role":"0wner"']
    assert workshop.store.database.connection().execute(change, changes).rowcount == 1
    code, printed = run(*words)
    assert (code, "the record at 1 is not the one" in printed) == (1, True)
    assert "twoturns restore" in printed
    assert "update it" not in printed


def test_a_refused_backup_says_why_and_what_stays(run, data, tmp_path):
    Workshop(data)
    other = Workshop(tmp_path / "other")
    assert run("backup", str(tmp_path / "backup"))[0] == 0
    code, printed = run("backup", str(tmp_path / "backup"), "--data", str(other.folder))
    assert (code, "another workshop" in printed, "stays as it is" in printed) == (1, True, True)


@pytest.mark.parametrize(
    "words",
    [
        ["enrol", "--role", "owner", "--name", "A", "--minutes", "99999999999"],
        ["enrol", "--role", "owner", "--name", "A", "--minutes", "-5"],
        ["serve", "--port", "99999999"],
        ["serve", "--host", "localhost"],
    ],
)
def test_a_number_or_address_that_cannot_be_is_a_wrong_use(run, workshop, words):
    assert run(*words)[0] == 2


def test_a_folder_that_cannot_be_written_is_told_in_words(run, workshop):
    code, printed = run("backup", "/proc/nowhere")
    assert (code, "/proc/nowhere: No such file" in printed) == (1, True)


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [
        ("workshop.key", b"zz", "holds no key"),
        ("workshop.key", b"\xff", "holds no key"),
        ("workshop.key", b"abcd", "holds no key"),
        ("ledger.db", b"no database" * 1000, "is damaged"),
    ],
)
def test_a_file_that_is_not_what_it_should_be_is_told_in_words(run, made, name, content, said):
    (made / name).write_bytes(content)
    code, printed = run("jobs")
    assert (code, said in printed) == (1, True)


def test_a_name_that_cannot_be_leaves_no_half_workshop(run, data):
    assert run("init", "--name", "")[0] == 1
    assert not data.exists()


def commands(group: click.Group, path: tuple[str, ...] = ()):
    context = click.Context(group)
    for name in group.list_commands(context):
        command = group.get_command(context, name)
        if isinstance(command, click.Group):
            yield from commands(command, (*path, name))
        else:
            yield (*path, name), command


def test_every_command_has_help_with_an_example():
    found = dict(commands(main))
    assert len(found) >= 9
    for path, command in found.items():
        assert command.help, path
        assert f"twoturns {' '.join(path)}" in command.help.partition("Example:")[2], path


HEAVY = {"PIL", "biip", "flask", "marshmallow", "nacl", "numpy", "sqlite_utils", "yaml"}


def test_the_list_of_commands_loads_none_of_them():
    """So that it answers at once: with all of them loaded it took a second and more."""
    listing = (
        "import sys\n"
        "from twoturns.cli import main\n"
        "main(['--help'], standalone_mode=False)\n"
        "print(sorted(name.partition('.')[0] for name in sys.modules), file=sys.stderr)"
    )
    done = subprocess.run(
        [sys.executable, "-c", listing], capture_output=True, check=True, text=True
    )
    assert all(f"  {name} " in done.stdout for name in COMMANDS)
    loaded = set(ast.literal_eval(done.stderr))
    assert "click" in loaded
    assert not loaded & HEAVY


def test_the_list_says_of_each_command_the_first_sentence_of_its_help():
    assert list(COMMANDS) == sorted(COMMANDS)
    for name, command in ((name, main.get_command(None, name)) for name in COMMANDS):
        paragraph = " ".join(command.help.partition("\n\n")[0].split())
        assert COMMANDS[name][1] == re.match(r".*?\.(?= |$)", paragraph)[0]


def test_a_command_that_is_not_there_is_a_wrong_use(run):
    code, printed = run("prove")
    assert (code, "No such command 'prove'" in printed) == (2, True)


def test_a_new_person_is_a_uuid_of_version_7():
    people = {new_person() for _ in range(200)}
    assert len(people) == 200
    assert all(re.fullmatch(forms.UUID7, person) for person in people)


@pytest.fixture
def served(data):
    """Serve a workshop for real: two processes, a phone's worth of requests at once."""
    workshop, port = Workshop(data), free_port()
    command = [sys.executable, "-c", "from twoturns.cli import main; main()"]
    process = subprocess.Popen(
        [*command, "serve", "--data", str(data), "--port", str(port)],
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
        stdout=subprocess.PIPE,
        text=True,
    )
    address = f"http://localhost:{port}"
    assert process.stdout.readline() == f"Workshop at the Weir at {address}\n"
    for _ in range(100):
        try:
            urllib.request.urlopen(f"{address}/api/workshop").close()  # noqa: S310 - our own
            break
        except urllib.error.URLError:
            time.sleep(0.1)
    yield workshop, address
    process.send_signal(signal.SIGTERM)
    assert process.wait(10) == 0
    process.stdout.close()


def post(address: str, path: str, body: object, cookie: str = "") -> tuple[dict, str]:
    request = urllib.request.Request(  # noqa: S310 - our own
        address + path,
        json.dumps(body).encode(),
        {"Content-Type": "application/json", "Cookie": cookie},
    )
    with urllib.request.urlopen(request) as answer:  # noqa: S310 - our own
        return json.load(answer), answer.headers.get("Set-Cookie", "").partition(";")[0]


def test_two_processes_take_eight_phones_at_once_and_lose_nothing(served):
    workshop, address = served
    phones = [workshop.enrol("mechanic") for _ in range(8)]

    def work(phone):
        nonce = post(address, "/api/session/nonce", {"device": phone.id})[0]["nonce"]
        message = keys.session_message(device=phone.id, nonce=nonce, workshop=phone.workshop)
        said = {"device": phone.id, "nonce": nonce, "signature": phone.sign(message)}
        _, cookie = post(address, "/api/session", said)
        job, indices = uuid7(), {}
        for _ in range(5):
            lines = [phone.write("job.taken", {}, job).line for _ in range(10)]
            batch = {"sent_at": "2026-11-24T12:00:00.000Z", "lines": lines}
            answer, _ = post(address, "/api/entries", batch, cookie)
            again, _ = post(address, "/api/entries", batch, cookie)
            assert again["indices"] == answer["indices"]
            indices |= answer["indices"]
        return indices

    with ThreadPoolExecutor(8) as pool:
        taken = [indices for each in pool.map(work, phones) for indices in each.values()]
    size = workshop.store.ledger.size()
    assert sorted(taken) == list(range(17, 417))
    assert size == 417
    rows = workshop.store.database.rows("select distinct standing from entries")
    assert rows == [{"standing": "good"}]
    assert workshop.store.rebuild() == []


def test_a_port_that_is_taken_is_told_in_a_sentence_and_before_any_address(run, workshop, data):
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = str(taken.getsockname()[1])
        for words in (("serve", "--port", port), ("demo", "--port", port)):
            code, printed = run(*words)
            assert (code, printed.count("\n")) == (1, 2)
            assert printed.startswith(f"Error: 127.0.0.1, port {port}: another program listens")
            assert "http" not in printed


def test_a_host_that_is_not_ours_is_told_in_a_sentence(run, workshop):
    code, printed = run("serve", "--host", "192.0.2.1", "--port", str(free_port()))
    assert (code, printed.count("\n")) == (1, 2)
    assert "this computer has no such address" in printed


def test_a_port_that_is_none_is_a_wrong_use(run):
    code, printed = run("demo", "--port", "-5")
    assert (code, "is not in the range" in printed) == (2, True)


@pytest.mark.parametrize("words", [["calc", "vin", "TT000000000000001"], ["jobs", "--help"]])
def test_output_that_cannot_be_written_is_told_in_a_sentence(words):
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [sys.executable, "-c", "from twoturns.cli import main; main()", *words],
            stdout=full,
            stderr=subprocess.PIPE,
            check=False,
            text=True,
        )
    assert done.returncode == 1
    assert done.stderr.startswith("Error: the disk is full\n")
    assert "Traceback" not in done.stderr
