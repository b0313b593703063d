"""What `twoturns/web/serve.py` says."""

GIVE_ANOTHER_PORT = "Give another --port."
PORT_IN_USE = "another program listens there, perhaps this very workshop"
PORT_IN_USE_HINT = (
    "Stop that one. Another --port is for a new workshop only: phones keep to theirs."
)
NO_SUCH_ADDRESS = "this computer has no such address"
NO_SUCH_ADDRESS_HINT = "Give --host one of its own, as 127.0.0.1, or 0.0.0.0 for all it has."
PORT_FORBIDDEN = "this user may not listen there"
PORT_FORBIDDEN_HINT = "Give a --port from 1024 up, and put a proxy in front."
