"""What `twoturns/store/words_of_workshop.py` says."""

FAULTS = "{file} is not as it must be:\n{faults}"
FAULTS_HINT = (
    "It says under 'instead' what this workshop puts in the place of a house rule, as a procedure "
    "does. Mend it: until then nothing is checked or published here."
)
