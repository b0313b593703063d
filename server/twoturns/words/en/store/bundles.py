"""What `twoturns/store/bundles.py` says."""

BUNDLE_WITHDRAWN = "this bundle was withdrawn: {withdrawn}"
CORRECT_PROCEDURE_RAISE_EDITION = "Correct the procedure, raise its edition, and publish that."
EDITION_PUBLISHED = "edition {published} of {bundle_id} is published; this is {edition}"
SET_EDITION_MORE_PROCEDURE_YAML = "Set edition to {least} or more in procedure.yaml."
