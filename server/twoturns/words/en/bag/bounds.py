"""What `twoturns/bag/bounds.py` says."""

HOLDS_FILES_MOST_READ = "it holds {files} files, at most {max_files} are read"
WOULD_UNPACK_MORE_THAN_GIB = "it would unpack to more than {max_unpacked} GiB"
WOULD_UNPACK_BYTES_MOST_READ = "{name} would unpack to {size} bytes, at most {max_text} are read"
