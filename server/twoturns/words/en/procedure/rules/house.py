"""What `twoturns/procedure/rules/house.py` says."""

RULE_IN_TWO_FILES = "the house rule ''{rule_id}' stands in two files"
