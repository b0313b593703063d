"""What `twoturns/bag/sheet.py` says. The rule is in every sheet, and compared to the byte."""

FILE_MISSING = "the sheet does not hold this file"
NO_FREEZE = "no auditor's statement freezes a population here"
NO_DRAW = "no auditor's word draws out of this population"
NO_DRAW_HINT = "The auditor gives the word on the page of the sample; then take the file again."
NOT_SIGNED = "record {index} is not signed by a device that the workshop let in"
NOT_IN_LEDGER = "record {index} is not proven to be in the ledger of the checkpoint"
OTHER_ROOT = "the root that was frozen is not shown to be this ledger's, from before the freeze"
OTHER_ROOT_HINT = "The sample was drawn from something else. Do not go by it."
OTHER_RULE = "it does not say the rule of the draw as this program knows it"
OTHER_RULE_HINT = "Go by the rule on the page of formats, or by what this command draws."
RULE = """The rule by which the jobs of this sample were drawn

1. The auditor's device stated the population: audit.frozen in records.txt has the ids of its jobs,
   the filter, and the size and root of the ledger that was frozen.
2. After that stood in the ledger, the auditor gave a word of his own: audit.drawn, with the number
   of jobs to draw. The first that names the freeze counts.
3. seed = SHA-256 of the root (32 bytes), then the word (UTF-8).
4. The place of a job = SHA-256 of the seed (32 bytes), then the job's id (36 characters, ASCII),
   in hex. The jobs with the lowest places are the sample.

That the population is all that the filter finds, of the jobs that the auditor's invitation opens,
is the workshop's word: it is not proven here. Nor is that the auditor tried no other words before:
a word out of what nobody of the two decides, as that day's paper, leaves no choice to either.
"""
