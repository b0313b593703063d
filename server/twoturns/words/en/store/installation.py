"""What `twoturns/store/installation.py` says."""

NO_HOST_NAME = "{name} is no host name"
NO_HOST_NAME_HINT = "Name the workshop as its phones ask for it, such as north.example."
NO_INSTALLATION = "{folder} is no folder of many workshops"
NO_INSTALLATION_HINT = (
    "Leave out --workshop for a folder that is one workshop; or name with --data the folder "
    "that holds them all, or a new one."
)
WHICH_ONE = "{folder} holds {n, plural, one {# workshop} other {# workshops}}, and none is named"
WHICH_ONE_HINT = "Say which one with --workshop: {names}"
