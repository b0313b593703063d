"""What `twoturns/store/postgres_links.py` says."""

LEDGER_DAMAGED = "the ledger's server says that its files are damaged: {error}"
SILENT = "the server takes connections, and did not answer within {seconds, number} s"
UNREADABLE = "the address of the ledger''s server cannot be read: {what}"
UNREADABLE_HINT = (
    "It has the options of libpq (PostgreSQL''s manual, \"Connection Strings\"), and schema=NAME. "
    "Nothing was asked of any server."
)
NO_PORT = "{port} is no port"
