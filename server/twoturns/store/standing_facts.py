"""What a standing is judged by, answered from the views."""

from typing import Any

import sqlite_utils


class Known:
    """What `standing` must know of the ledger, answered from the views."""

    def __init__(self, db: sqlite_utils.Database) -> None:
        self._db = db

    def has(self, entry_id: str) -> bool:
        return self._one("select 1 from entries where id = ?", entry_id) is not None

    def has_seq(self, device: str, seq: int, times: int = 1) -> bool:
        sql = "select 1 from entries where device = ? and seq = ? limit 1 offset ?"
        return self._one(sql, device, seq, times - 1) is not None

    def is_forked(self, device: str, seq: int) -> bool:
        return len(self.forking(device, seq, 2)) == 2

    def forking(self, device: str, seq: int, most: int = -1) -> list[str]:
        """Return the entries of this seq, by id, that fork each other if they are several."""
        sql = "select id from entries where device = ? and seq = ? and forks = 1 limit ?"
        return [row[0] for row in self._db.execute(sql, [device, seq, most]).fetchall()]

    def is_accepted(self, entry_id: str) -> bool:
        return self._one("select 1 from accepted where id = ?", entry_id) is not None

    def is_held(self, entry_id: str) -> bool:
        sql = "select 1 from entries where id = ? and shown is null"
        return self._one(sql, entry_id) is not None

    def _one(self, sql: str, *parameters: object) -> Any:  # noqa: ANN401 - a SQLite value
        row = self._db.execute(sql, parameters).fetchone()
        return None if row is None else row[0]
