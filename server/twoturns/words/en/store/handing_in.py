"""What `twoturns/store/handing_in.py` says."""

CHANGED = "the draft was changed since it was read"
NOT_CHECKED = "this version of the draft was not checked"
HAS_FINDINGS = "the check of this version found {n, plural, one {# fault} other {# faults}}"
HOUSE_CHANGED = "the workshop takes the house rules otherwise than when this version was checked"
