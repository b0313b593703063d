"""What `twoturns/web/uploads.py` says."""

REQUEST_DOES_NOT_SAY_TUS = "the request does not say Tus-Resumable: 1.0.0"
MIB_MOST = "{length} MiB, at most {max_bytes}"
UPLOAD_NOT_BEGUN = "this upload has not begun"
A_PIECE_IS = "a piece is {pieces}"
SEND_IT_AS = "Send it as {pieces}."
UPLOAD_WHOLE_STANDS = "the upload is whole and stands at {length}"
THESE_BYTES_ERASED_HERE = "these bytes were erased here"
MUST_WHOLE_NUMBER = "{header} must be a whole number"
UPLOAD_METADATA_MUST_NAME_SHA = (
    "Upload-Metadata must name sha256: 64 lower-case hex digits, in base64"
)
UPLOAD_CHECKSUM_MUST_SHA_SHA = "Upload-Checksum must be sha1 or sha256, in base64"
NOT_BASE = "{header} is not base64"
