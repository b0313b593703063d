"""What `twoturns/web/blobs.py` says."""

NO_SUCH_BLOB_KEPT = "no such blob is kept"
NO_SMALLER_COPY_CAN_MADE = "no smaller copy can be made of this blob"
