"""What `twoturns/cli/import_file.py` says."""

NOT_AN_EXPORT = "this is no file that a phone wrote: {why}"
NOT_AN_EXPORT_HINT = (
    "On the phone, open where it all is, tap 'Write it to a file' again, and bring the "
    "file over unchanged."
)
NOT_A_ZIP = "it is no whole zip ({error})"
IMPORTED = (
    "{file}: {entries, plural, one {{entries} entry} other {{entries} entries}} and "
    "{photos, plural, one {{photos} photo} other {{photos} photos}} kept here, "
    "{new, plural, one {{new} new record} other {{new} new records}}."
)
FROM_NEWER_APP = (
    "{unread, plural, one {{unread} entry} other {{unread} entries}} kept, not yet in "
    "force: a newer app wrote what this program cannot read. Bring this program up to "
    "date."
)
SOME_REFUSED = "{refused} of it was refused; see above"
MEMBER_IS_PACKED = "{filename} is packed"
UNKNOWN_FORM = "it is of another form"
MEMBER_MISSING = "{name} is missing"
NOT_UTF8 = "{name} is not UTF-8"
AN_ENTRY = "an entry"
PRIVATE_VALUE = "a private value"
NAMED_BY_NO_ENTRY = "no entry of the file names it"
PHOTO_TOO_LARGE = "it has {size} MiB, at most {max_bytes}"
ERASED_BY_ORDER = "it was erased here by the owner's order"
REFUSED = "refused: {what}"
