"""What `cli/doctor` says."""

LEVELS = {"good": "good", "look": "look", "bad": "BAD "}
WELL = "all is well ({n} matters were looked at)"
UNOPENED = "it cannot be opened: {why}"
STRAY = "{path} is at no host name, and served to nobody"
TWINS = "the same workshop lies in several folders: {names}"
STRANGERS = (
    "{n, plural, one {# workshop} other {# workshops}}, each with a key and a ledger of its own"
)
