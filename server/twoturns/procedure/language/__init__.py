"""A procedure as it is written: YAML read strictly, the fields it may have, names looked up."""
