"""What `twoturns/procedure/prove/instead.py` says."""

HOUSE_RULE_HOLDS = "the house rule ''{rule}' is kept here all the same"
HOUSE_RULE_HOLDS_HINT = "Take the maker's word out: this order needs no other rule."
NEVER_STOPS = "the word in place of the house rule ''{rule}' can never stop ''{step}'"
NEVER_STOPS_HINT = (
    "What it asks for is so in every state that comes before this step, so the rule would be "
    "switched off. Let it ask for what the maker does here in the house rule's place."
)
TAKEN_OTHERWISE = (
    "''{rule}' is taken otherwise, on the {whose}'s word: {says} "
    "What holds in its place: never {never}"
)
SOURCE_AND_LOSS = (
    "Source: {document}, edition {edition}, {page}, {date}. "
    "Asked for here: {holds}. No longer asked for: {gone}."
)
NOTHING_GONE = "nothing"
