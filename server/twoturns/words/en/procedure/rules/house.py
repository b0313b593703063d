"""What `twoturns/procedure/rules/house.py` says."""

HOUSE_RULE_STANDS_TWO_FILES = "the house rule ''{rule_id}' stands in two files"
