"""What `twoturns/cli/import_file.py` says."""

NO_FILE_PHONE_WROTE = "this is no file that a phone wrote: {why}"
PHONE_OPEN_WHERE_ALL_TAP = (
    "On the phone, open where it all is, tap 'Write it to a file' again, and bring the "
    "file over unchanged."
)
NO_WHOLE_ZIP = "it is no whole zip ({error})"
KEPT_HERE = (
    "{file}: {entries, plural, one {{entries} entry} other {{entries} entries}} and "
    "{photos, plural, one {{photos} photo} other {{photos} photos}} kept here, "
    "{new, plural, one {{new} new record} other {{new} new records}}."
)
KEPT_NOT_YET_FORCE_NEWER = (
    "{unread, plural, one {{unread} entry} other {{unread} entries}} kept, not yet in "
    "force: a newer app wrote what this program cannot read. Bring this program up to "
    "date."
)
REFUSED_SEE_ABOVE = "{refused} of it was refused; see above"
IS_PACKED = "{filename} is packed"
ANOTHER_FORM = "it is of another form"
IS_MISSING = "{name} is missing"
NOT_UTF = "{name} is not UTF-8"
AN_ENTRY = "an entry"
PRIVATE_VALUE = "a private value"
NO_ENTRY_FILE_NAMES = "no entry of the file names it"
MIB_MOST = "it has {size} MiB, at most {max_bytes}"
ERASED_HERE_OWNERS_ORDER = "it was erased here by the owner's order"
REFUSED = "refused: {what}"
