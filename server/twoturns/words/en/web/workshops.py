"""What `twoturns/web/workshops.py` says."""

UNTRUSTED_HOST = "this server is not {said}"
NO_WORKSHOP = "no workshop is asked at {name}"
BEING_OPENED = "the workshop is being opened"
NOT_OPENED = "the workshop cannot be opened; its log says why"
