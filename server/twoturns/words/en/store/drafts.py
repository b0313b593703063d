"""What `twoturns/store/drafts.py` says."""

NO_SUCH_DRAFT = "no such draft"
TOO_MANY = "there are {most} drafts, and no more are kept"
EXISTS = "there is a draft of this name"
CHANGED = "the draft was changed since it was read"
