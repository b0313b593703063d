"""What `twoturns/ledger/entry.py` says."""

WORKSHOP_ID_CHARACTERS_BASE_URL = "a workshop id, 43 characters of base64url"
NULL_WORKSHOPS_STATEMENT_ELSE = "null for a workshop's statement, else a UUID of version 7"
THUMBPRINT_CHARACTERS_BASE_URL = "a thumbprint, 43 characters of base64url"
UUID_VERSION = 'a UUID of version 7, or "{console}"'
WHOLE_NUMBER_UP = "a whole number from 1 up"
LIST_MOST_IDS_NONE_TWICE = "a list of at most {max_after} ids, none twice"
TIME_YYYY_MM_DDTHH_MM = "a time, YYYY-MM-DDTHH:MM:SS.mmmZ"
TWO_NAMES_DOT_BETWEEN_EACH = "two names with a dot between, each of at most 32 characters"
AN_OBJECT = "an object"
LINE_NOT_OURS_CUT_WAY = (
    "The line is not one of ours, or was cut on the way: send it as it was signed."
)
NO_SPACE_BETWEEN_SIGNATURE_JSON = "no space between signature and JSON"
LINE_HALF_SURROGATE_PAIR = "the line has half a surrogate pair"
LINE_BYTES_MOST = "the line has {head} bytes, at most {max_line_bytes}"
PUT_LONG_TEXT_LISTS_INTO = "Put long text and lists into a blob, or into several entries."
FIELD_WE_DO_NOT_KNOW = "{wire_kind} has a field that we do not know, or is no kind we know"
WRITE_PROGRAM_CAN_READ = "Write what this program can read."
EXPECTED_MEMBERS_GOT = "expected the members {members}, got {found}"
MUST_GOT = "{name} must be {wanted}, got {members}"
NAMES_JOB = "names a job"
ABOUT_NO_JOB = "is about no job"
