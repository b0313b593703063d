"""What `twoturns/store/postgres_links.py` says."""

LEDGER_DAMAGED = "the ledger's server says that its files are damaged: {error}"
