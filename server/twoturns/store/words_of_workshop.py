"""
What a workshop takes otherwise than the house rules, in all its procedures: its `house.yaml`.

The file is read when a procedure is proved, and lets nobody work by anything: what of it a
procedure needs goes into its bundle, and where the rule stops, an owner's device publishes that.
"""

from pathlib import Path

from twoturns.procedure.compile.instead import WordsOfWorkshop, words_of_workshop
from twoturns.procedure.errors import ProcedureError, SourceErrors
from twoturns.words import t
from twoturns.words.en.store import words_of_workshop as words

FILE = "house.yaml"


def read_words(folder: Path) -> WordsOfWorkshop:
    """
    Return what the workshop in a folder takes otherwise, by house rule; nothing without a file.

    Raises:
        ProcedureError: `house-words`, with every fault of the file.
        OSError: If it cannot be read.
    """
    try:
        text = (folder / FILE).read_bytes()
    except FileNotFoundError:
        return {}
    try:
        return words_of_workshop(text)
    except SourceErrors as errors:
        raise ProcedureError(
            t(words.FAULTS, file=str(folder / FILE), faults=str(errors)),
            hint=t(words.FAULTS_HINT),
            code="house-words",
        ) from errors
