"""What `ledger/instants` says, here and on the phone."""

INSTANT = "{day} {time} UTC"
