"""What `twoturns/store/postgres.py` says."""

SCHEMA_TAKEN = "there is a workshop in the schema {schema} already"
ROLE_LOGS_IN = (
    "{schema} is the name of somebody who logs in to the server, and no workshop''s: who logs in "
    "may read them all"
)
SCHEMA_TAKEN_HINT = (
    "Name another one at the end of the address, as in ?schema=two_turns_north, or open the "
    "workshop that is there with its own folder."
)
