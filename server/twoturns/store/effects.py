"""
What a statement does to the views: blobs, bundles, tools, lots, backups, what was refused or shut.

A statement that speaks of jobs notes them in `unfolded`: their place at the desk may change.
"""

from collections.abc import Callable, Mapping
from typing import Any

from twoturns.ledger import canonical
from twoturns.ledger.entry import Entry
from twoturns.store import audits, erasures, mentions
from twoturns.store.blob_facts import BlobFacts
from twoturns.store.blob_texts import named_blobs, sought
from twoturns.store.finders import Finders, is_here
from twoturns.store.port import Connection


class Effects:
    """Writes them, within one transaction, of statements whose devices might write them."""

    def __init__(self, db: Connection, facts: BlobFacts, finders: Finders) -> None:
        self._db, self._facts, self._finders = db, facts, finders

    def take(self, index: int, entry: Entry) -> None:
        """Take in a statement that counts, at its index."""
        effects: dict[str, Callable[[int, Mapping[str, Any]], None]] = {
            "blob.kept": self._keep,
            "blob.erased": self._erase,
            "person.named": lambda _, body: mentions.mention(
                self._db, body["name"]["blob"], mentions.WORKSHOP
            ),
            "bundle.published": self._publish,
            "bundle.withdrawn": self._withdraw,
            "tool.registered": self._register_tool,
            "tool.corrected": self._correct_tool,
            "tool.retired": self._retire_tool,
            "tool.calibrated": self._calibrate_tool,
            "tool.checked": self._check_tool,
            "set.registered": self._mention_files,
            "permit.given": self._mention_files,
            "device.named": self._mention_files,
            "lot.recalled": self._recall_lot,
            "work.refused": self._refuse_work,
            "device.shut": self._shut_out,
            "backup.made": self._back_up,
            "backup.outside": self._back_up,
        }
        if entry.kind in audits.KINDS:
            audits.note(self._db, entry)
        elif entry.kind in effects and not self._speaks_of_a_lost_disk(entry):
            effects[entry.kind](index, entry.body)

    def _speaks_of_a_lost_disk(self, entry: Entry) -> bool:
        """
        Say whether the workshop said of its disk what a restore has undone.

        The workshop key numbers upwards, and after a restore far above all before; so a statement
        with a number below one that stands before it was brought back by a phone.
        """
        return entry.kind in ("blob.kept", "backup.made") and (
            self._db.execute(
                "select 1 from entries where device = ? and seq > ?", [entry.device, entry.seq]
            ).fetchone()
            is not None
        )

    def _keep(self, index: int, body: Mapping[str, Any]) -> None:
        for kept in body["blobs"]:
            self._db.execute(
                "insert into kept values (?, ?, ?) on conflict do nothing",
                [kept["blob"], kept["size"], index],
            )
            if is_here(self._db, kept["blob"]):
                self._finders.fill_vehicle(kept["blob"])
                self._note_bundle(index, kept["blob"])

    def _erase(self, index: int, body: Mapping[str, Any]) -> None:
        blob = body["blob"]
        if erasures.is_of_a_procedure(self._db, blob):
            return  # it is no personal data, and without it no bag of its jobs could be made
        self._db.execute("insert into erased values (?, ?) on conflict do nothing", [blob, index])
        self._finders.forget_vehicle(blob)

    def _publish(self, index: int, body: Mapping[str, Any]) -> None:
        bundle, codes = body["bundle"], canonical.dumps(body["engine_codes"]).decode()
        self._db.execute(
            "insert into bundles values (?, null, ?, ?, ?, ?, null, null) on conflict do nothing",
            [bundle, body["name"], body["edition"], codes, index],
        )
        mentions.mention(self._db, bundle, mentions.WORKSHOP)
        self._stated(index, "bundle", bundle)
        if is_here(self._db, bundle):
            self._note_bundle(index, bundle)

    def _note_bundle(self, index: int, bundle: str) -> None:
        """Note a published bundle's id and pictures, once its bytes are here."""
        if self._db.execute("select 1 from bundles where bundle = ?", [bundle]).fetchone() is None:
            return
        said = self._facts.bundle(bundle)
        if said is None:
            return  # its bytes are no bundle, or damaged: it has no id and is never offered
        if said.wants_an_owner and not self._is_an_owners(bundle):
            # The command refuses to: who says it all the same has the key, and is no owner.
            self._db.execute("delete from bundles where bundle = ?", [bundle])
            return
        self._db.execute("update bundles set id = ? where bundle = ?", [said.id, bundle])
        self._db.executemany(
            "insert into bundle_assets values (?, ?) on conflict do nothing",
            [[bundle, picture] for picture in said.pictures],
        )
        self._stated(index, "bundle", bundle)

    def _is_an_owners(self, bundle: str) -> bool:
        """Say whether an owner's device, and not the console alone, has published a bundle."""
        said = f'%"bundle":"{bundle}"%'
        return self._db.execute(_PUBLISHED_BY_AN_OWNER, [said]).fetchone() is not None

    def _withdraw(self, index: int, body: Mapping[str, Any]) -> None:
        self._db.execute(
            "update bundles set withdrawn = ?, withdrawn_at = ? where bundle = ?",
            [body["because"], index, body["bundle"]],
        )
        self._stated(index, "bundle", body["bundle"])

    def _register_tool(self, index: int, body: Mapping[str, Any]) -> None:
        key = sought("tool", body["tool"])
        self._db.execute(
            _REGISTERS,
            [key, body["tool"], body["type"], body["label"]],
        )
        self._stated(index, "tool", key)

    def _correct_tool(self, index: int, body: Mapping[str, Any]) -> None:
        key = sought("tool", body["tool"])
        self._db.execute(
            "update tools set type = ?, label = ? where key = ?",
            [body["type"], body["label"], key],
        )
        self._stated(index, "tool", key)

    def _retire_tool(self, index: int, body: Mapping[str, Any]) -> None:
        """Jobs that are opened from here on must not use it."""
        retired = [index, body["because"], sought("tool", body["tool"])]
        self._db.execute("update tools set retired = ?, retired_because = ? where key = ?", retired)

    def _mention_files(self, _: int, body: Mapping[str, Any]) -> None:
        """Let every device see what the workshop's register shows."""
        for blob in named_blobs(body):
            mentions.mention(self._db, blob, mentions.WORKSHOP)

    def _calibrate_tool(self, index: int, body: Mapping[str, Any]) -> None:
        self._mention_files(index, body)
        key, days = sought("tool", body["tool"]), (body["on"], body["due"])
        self._db.execute("insert into calibrations values (?, ?, ?, ?)", [index, key, *days])
        self._stated(index, "tool_on_days", key, first=days[0], end=f"{days[1]}~")
        if self._db.execute("select 1 from tool_checks where key = ?", [key]).fetchone():
            self._doubt(index, key, days[0])  # it ends the days that a check doubts

    def _check_tool(self, index: int, body: Mapping[str, Any]) -> None:
        key, said = sought("tool", body["tool"]), canonical.dumps(body).decode()
        self._db.execute("insert into tool_checks values (?, ?, ?)", [index, key, said])
        self._doubt(index, key, body["on"])

    def _doubt(self, index: int, key: str, on: str) -> None:
        """Note the jobs that a check of a day may speak of: heard of since the check before it."""
        sql = 'select max("on") from calibrations where key = ? and "on" < ?'
        (first,) = self._db.execute(sql, [key, on]).fetchone()
        self._stated(index, "tool_since", key, first=first or "")

    def _recall_lot(self, index: int, body: Mapping[str, Any]) -> None:
        self._db.execute(
            "insert into recalled_lots values (?, ?, ?, ?, ?)",
            [index, sought("lot", body["lot"]), body["lot"], body["because"], body.get("until")],
        )
        self._stated(index, "lot", sought("lot", body["lot"]))

    def _stated(self, index: int, of: str, name: str, **more: str) -> None:
        """Note that the statement at an index speaks of jobs: their place at the desk changes."""
        self._db.execute(_STATED.format(jobs=_STATED_OF[of]), {"at": index, "of": name, **more})

    def _refuse_work(self, _: int, body: Mapping[str, Any]) -> None:
        self._db.executemany(
            "insert into refused values (?) on conflict do nothing",
            [[one] for one in body["entries"]],
        )

    def _shut_out(self, index: int, body: Mapping[str, Any]) -> None:
        self._db.execute(
            "insert into shut values (?, ?) on conflict do nothing", [body["device"], index]
        )

    def _back_up(self, index: int, body: Mapping[str, Any]) -> None:
        self._db.execute(
            "insert into backups values (?, ?, ?)", [index, body["size"], body.get("until")]
        )


_PUBLISHED_BY_AN_OWNER = """
select 1 from entries join records using ("index")
where entries.job is null and kind = 'bundle.published' and has_right = 1 and record like ?
    and device in (select device from devices where role = 'owner')
"""
_REGISTERS = """
insert into tools values (?, ?, ?, ?, null, null) on conflict (key) do update set
    tool = excluded.tool, type = excluded.type, label = excluded.label,
    retired = null, retired_because = null
"""
_STATED = """
insert into unfolded {jobs} on conflict (job) do update set at = excluded.at
"""
# What the workshop states of them has changed: the desk puts such jobs in another place.
_STATED_OF = {
    "bundle": "select job, :at from jobs where bundle = :of",
    "lot": "select distinct job, :at from finders where key = 'lot' and value = :of",
    "tool": "select distinct job, :at from finders where key = 'tool' and value = :of",
    "tool_since": "select distinct job, :at from finders join jobs using (job)"
    " where key = 'tool' and value = :of and last_received >= :first",
    "tool_on_days": "select distinct job, :at from finders where key = 'tool' and value = :of"
    " and begun >= :first and begun < :end",
}
