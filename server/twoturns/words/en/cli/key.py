"""What `twoturns/cli/key.py` says."""

FINGERPRINT = "fingerprint, as on paper  {workshop}"
KEY_SIGNS_NOW = "key that signs now        {workshop_key}"
KEY_BEFORE = "key before                {before}"
RECOVERED_AT = (
    "recovered                 at record {index}; of workshop keys, nothing from record "
    "{size} up to it counts"
)
PAPER_WORTHLESS = "recovery key, worthless   {recovery}, since record {index}"
PAPER_IN_FORCE = "recovery key on paper     {recovery}, since record {index}"
LEDGER_SIZE = "records in the ledger     {size}"
NO_PAPER = "recovery key on paper     none: make one with twoturns key commit"
KEY_IS_HERE = "{data} holds the key that signs now."
KEY_CHANGED = "The workshop's key is now {new}. Phones follow at their next contact."
TRUST_ONE_WAY = "--trusted and --trust-all: one of them"
ASK_PAPER = "The recovery key, from paper"
NEXT_PAPER_ON_RECOVERY = "This paper will be worthless. The next recovery key, for paper:"
RECOVERED = "Recovered. The workshop's key is now {key}."
STATEMENTS_UNDONE = (
    "What workshop keys stated from record {size} on counts no more. Make anew what was yours:"
)
ASK_PAPER_IN_FORCE = "The recovery key in force, from paper"
NEW_PAPER = "The recovery key, for paper:"
COMMITTED = "The workshop is committed to it."
OLD_PAPER_WORTHLESS = " The paper before is worthless."
STATED_SINCE_COMMITMENT = "Since this recovery key was committed to:"
MAY_BE_A_THIEFS = (
    "{found, plural, one {{found} statement} other {{found} statements}} may be a "
    "thief's. Nothing was changed.\nIf somebody may have had the key: twoturns key "
    "recover --trusted N, with the place of the first record that is not yours.\nThis "
    "cannot be done later for an earlier place. What an owner's device stated stays in "
    "any case: revoke it.\nIf all of it is yours: twoturns key recover --trust-all"
)
PAPER_FINGERPRINT = "    its fingerprint: {thumbprint}\n"
TYPE_BACK_PAPER = "Write it down, then type it back from the paper"
TYPED_ANOTHER_KEY = "that is another recovery key. Nothing was changed."
KEEP_NEW_COPY = "Keep a new copy of {path} apart: backups do not hold it. Then make a backup."
STATEMENTS = "    {n, plural, one {{n} statement} other {{n} statements}} {kind}"
