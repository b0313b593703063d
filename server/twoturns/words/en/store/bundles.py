"""What `twoturns/store/bundles.py` says."""

BUNDLE_WITHDRAWN = "this bundle was withdrawn: {withdrawn}"
BUNDLE_WITHDRAWN_HINT = "Correct the procedure, raise its edition, and publish that."
EDITION_TAKEN = "edition {published} of {bundle_id} is published; this is {edition}"
EDITION_TAKEN_HINT = "Set edition to {least} or more in procedure.yaml."
WANTS_AN_OWNER = "{name} takes a rule that stops otherwise, on a maker's word"
WANTS_AN_OWNER_HINT = "An owner publishes it, on the page Procedures of an owner's device."
