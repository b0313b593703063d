"""What `twoturns/procedure/errors.py` says."""

PUT_RIGHT_COMPILE_AGAIN = "Put this right and compile again."
PUT_THESE_FAULTS_RIGHT_MAY = "Put these {count} faults right; one may be the cause of others."
PROCEDURE_FORM_PROGRAM_DOES_NOT = (
    "the procedure is of a form that this program does not know: {what}"
)
PERHAPS_MEANT = "Perhaps ''{close}' was meant."
PROCEDURE_NAMES_NONE = "The procedure names none."
KNOWN_HERE = "Known here: {names}{more, select, true {, ...} other {.}}"
