"""What `twoturns/store/ledger_url.py` says."""

BAD_URL = "{url} is no address of a ledger"
BAD_URL_HINT = (
    "It is sqlite: for a ledger in the workshop's folder, or "
    "postgresql://USER@HOST/DATABASE?schema=NAME for one on a server; NAME is of small letters, "
    "digits and _, and none of the server's own, as public and pg_... are."
)
OTHER_LEDGER = "the workshop in {folder} has its ledger elsewhere: {held}"
OTHER_LEDGER_HINT = (
    "Leave out --ledger and the variable {variable}, or let it name that server. They do not move "
    "a workshop."
)
NO_DRIVER = "this program was installed without what it needs for PostgreSQL"
NO_DRIVER_HINT = "Install it with: pip install 'twoturns[scale]'"
