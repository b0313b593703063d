"""What `twoturns/cli/procedure/publish.py` says."""

PUBLISHED_ALREADY = "These very bytes are published already."
PUBLISHED = "Published."
HANDED_IN = (
    "Handed in, not published: it takes a rule that stops otherwise, on a maker's word. An owner "
    "reads it and publishes it on the page Procedures of an owner's device."
)
CHANGES = "\nEdition {old} -> edition {new}"
