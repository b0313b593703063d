"""What `twoturns/cli/serve.py` says."""

NOT_AN_ADDRESS = "{host} is no address, as 127.0.0.1 or 0.0.0.0"
NOT_A_NETWORK = "{text} is no address, as 127.0.0.1 or 10.0.0.0/8"
SERVED_AT = "{store_name} at http://{host}:{port}"
MANY_SERVED_AT = "{n, plural, one {# workshop} other {# workshops}} at {host}, port {port}"
NAMES_ARE_FOLDERS = (
    "--host-name is for a folder that is one workshop: those of an installation are asked at the "
    "names of their folders"
)
NO_SUCH_WORKSHOP = "{data} has no workshop {name}"
