"""What `twoturns/store/ledger_url.py` says."""

BAD_URL = "{url} is no address of a ledger"
BAD_URL_HINT = (
    "It is sqlite: for a ledger in the workshop's folder, or "
    "postgresql://USER@HOST/DATABASE?schema=NAME for one on a server; NAME is of small letters, "
    "digits and _, and none of the server's own, as public and pg_... are."
)
NAMED_BY = "{fact} (named by {named_by})"
ASKED = "--ledger, --to, --from or {variable}"
NO_SCHEMA = "it names no schema=NAME"
MADE_MEANWHILE = "somebody else has made a workshop there at the same moment"
MADE_MEANWHILE_HINT = (
    "Name another schema at the end of the address, as in ?schema=two_turns_north, or open the "
    "workshop that is there with its own folder. Nothing of it was changed."
)
OTHER_LEDGER = "the workshop in {folder} has its ledger elsewhere: {held}"
OTHER_LEDGER_HINT = (
    "Leave out --ledger and the variable {variable}, or let it name that server. They do not move "
    "a workshop."
)
NO_DRIVER = "this program was installed without what it needs for PostgreSQL"
NO_DRIVER_HINT = "Install it with: pip install 'twoturns[scale]'"
