"""What `twoturns/web/serve.py` says."""

GIVE_ANOTHER_PORT = "Give another --port."
ANOTHER_PROGRAM_LISTENS_THERE = "another program listens there, perhaps this very workshop"
STOP_ANOTHER_PORT_NEW_WORKSHOP = (
    "Stop that one. Another --port is for a new workshop only: phones keep to theirs."
)
COMPUTER_NO_SUCH_ADDRESS = "this computer has no such address"
GIVE_HOST_OWN_ALL = "Give --host one of its own, as 127.0.0.1, or 0.0.0.0 for all it has."
USER_MAY_NOT_LISTEN_THERE = "this user may not listen there"
GIVE_PORT_UP_PUT_PROXY = "Give a --port from 1024 up, and put a proxy in front."
