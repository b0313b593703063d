"""What `twoturns/cli/key.py` says."""

FINGERPRINT_PAPER = "fingerprint, as on paper  {workshop}"
KEY_SIGNS_NOW = "key that signs now        {workshop_key}"
KEY_BEFORE = "key before                {before}"
RECOVERED_RECORD_WORKSHOP_KEYS = (
    "recovered                 at record {index}; of workshop keys, nothing from record "
    "{size} up to it counts"
)
RECOVERY_KEY_WORTHLESS_SINCE = "recovery key, worthless   {recovery}, since record {index}"
RECOVERY_KEY_PAPER_SINCE_RECORD = "recovery key on paper     {recovery}, since record {index}"
RECORDS_LEDGER = "records in the ledger     {size}"
RECOVERY_KEY_PAPER_NONE_MAKE = "recovery key on paper     none: make one with twoturns key commit"
HOLDS_KEY_SIGNS_NOW = "{data} holds the key that signs now."
WORKSHOPS_KEY_NOW_PHONES_FOLLOW = (
    "The workshop's key is now {new}. Phones follow at their next contact."
)
TRUSTED_TRUST_ALL_THEM = "--trusted and --trust-all: one of them"
RECOVERY_KEY_PAPER = "The recovery key, from paper"
PAPER_WILL_WORTHLESS_NEXT = "This paper will be worthless. The next recovery key, for paper:"
RECOVERED_WORKSHOPS_KEY_NOW = "Recovered. The workshop's key is now {key}."
WORKSHOP_KEYS_STATED_RECORD = (
    "What workshop keys stated from record {size} on counts no more. Make anew what was yours:"
)
RECOVERY_KEY_FORCE_PAPER = "The recovery key in force, from paper"
NEXT_RECOVERY_KEY = "The recovery key, for paper:"
WORKSHOP_COMMITTED = "The workshop is committed to it."
PAPER_BEFORE_WORTHLESS = " The paper before is worthless."
SINCE_RECOVERY_KEY_COMMITTED = "Since this recovery key was committed to:"
MAY_THIEFS_NOTHING_CHANGED_IF = (
    "{found, plural, one {{found} statement} other {{found} statements}} may be a "
    "thief's. Nothing was changed.\nIf somebody may have had the key: twoturns key "
    "recover --trusted N, with the place of the first record that is not yours.\nThis "
    "cannot be done later for an earlier place. What an owner's device stated stays in "
    "any case: revoke it.\nIf all of it is yours: twoturns key recover --trust-all"
)
ITS_FINGERPRINT = "    its fingerprint: {thumbprint}\n"
WRITE_DOWN_THEN_TYPE_BACK = "Write it down, then type it back from the paper"
ANOTHER_RECOVERY_KEY_NOTHING = "that is another recovery key. Nothing was changed."
KEEP_NEW_COPY = "Keep a new copy of {path} apart: backups do not hold it. Then make a backup."
STATEMENTS = "    {n, plural, one {{n} statement} other {{n} statements}} {kind}"
