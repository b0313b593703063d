"""What `twoturns/store/postgres_links.py` says."""

LEDGER_DAMAGED = "the ledger's server says that its files are damaged: {error}"
SILENT = "the server takes connections, and did not answer within {seconds, number} s"
