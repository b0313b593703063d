"""What `twoturns/bag/bounds.py` says."""

TOO_MANY_FILES = "it holds {files} files, at most {max_files} are read"
BAG_TOO_LARGE = "it would unpack to more than {max_unpacked} GiB"
FILE_TOO_LARGE = "{name} would unpack to {size} bytes, at most {max_text} are read"
