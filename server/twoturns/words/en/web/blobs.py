"""What `twoturns/web/blobs.py` says."""

NO_SUCH_BLOB = "no such blob is kept"
NO_SMALLER_COPY = "no smaller copy can be made of this blob"
