"""What `twoturns/procedure/errors.py` says."""

MEND_ONE_HINT = "Put this right and compile again."
MEND_SEVERAL_HINT = "Put these {count} faults right; one may be the cause of others."
UNKNOWN_FORM = "the procedure is of a form that this program does not know: {what}"
PERHAPS_MEANT = "Perhaps ''{close}' was meant."
NONE_NAMED = "The procedure names none."
KNOWN_NAMES = "Known here: {names}{more, select, true {, ...} other {.}}"
BLOCK_LINE = "block {block}, line {line}"
