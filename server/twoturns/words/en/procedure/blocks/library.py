"""What `twoturns/procedure/blocks/library.py` says."""

OTHER_NAME = "block ''{block}' lies in a file called {file}"
OTHER_NAME_HINT = "Call the file {block}.yaml, or the block otherwise."
IS_IN_LIBRARY = "a block that comes with the program is called ''{block}'"
IS_IN_LIBRARY_HINT = "Give your block another name: two of one name would be taken for one another."
