"""What `twoturns/web/drafts.py` says."""

NO_SUCH_PICTURE = "the draft has no such picture"
CHANGED = "the draft was changed since it was read"
BODY_TYPE = "the body must be {wanted}"
VERSION_MISSING = "the request does not say which version it is about"
IF_MATCH = "The version that was read, in quotes."
IF_NONE_MATCH = "`*`: there is no such draft yet."
