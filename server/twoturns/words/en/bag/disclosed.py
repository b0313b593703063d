"""What `twoturns/bag/disclosed.py` says."""

BLOB_UNEXPLAINED = "an entry names the blob {blob}, and nothing is said of it"
BYTES_NOT_SIGNED = "its bytes hash to {found}: they are not those that were signed"
BLOB_IS_HERE = "disclosure.json says {state} of this blob, and here it is"
MISPLACED = "its place in the bag is {right}"
BLOB_UNNAMED = "no entry of the job names the blob {blob}"
BLOB_MISSING = "the blob {blob} is called {state}, and the bag does not hold it"
ERASURE_UNSIGNED = "the blob {blob} is called erased, and no signed statement says so"
