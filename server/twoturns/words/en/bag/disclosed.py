"""What `twoturns/bag/disclosed.py` says."""

ENTRY_NAMES_BLOB_NOTHING_SAID = "an entry names the blob {blob}, and nothing is said of it"
BYTES_HASH_THEY_NOT_THOSE = "its bytes hash to {found}: they are not those that were signed"
DISCLOSURE_JSON_SAYS_BLOB_HERE = "disclosure.json says {state} of this blob, and here it is"
PLACE_BAG = "its place in the bag is {right}"
NO_ENTRY_JOB_NAMES_BLOB = "no entry of the job names the blob {blob}"
BLOB_CALLED_BAG_DOES_NOT = "the blob {blob} is called {state}, and the bag does not hold it"
BLOB_CALLED_ERASED_NO_SIGNED = "the blob {blob} is called erased, and no signed statement says so"
