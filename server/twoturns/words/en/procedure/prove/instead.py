"""What `twoturns/procedure/prove/instead.py` says."""

HOUSE_RULE_HOLDS = "the house rule ''{rule}' is kept here all the same"
HOUSE_RULE_HOLDS_HINT = "Take the maker's word out: this order needs no other rule."
TAKEN_OTHERWISE = "''{rule}' is taken otherwise: {says} What holds in its place: never {never}"
SOURCE_AND_LOSS = (
    "Source: {document}, edition {edition}, {page}, {date}. No longer asked for: {gone}."
)
NOTHING_GONE = "nothing, other values only"
