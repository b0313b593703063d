"""What `twoturns/cli/procedure/new.py` says."""

FOLDER_EXISTS = "{path} is there already. Name a folder that is not"
NO_NAME = "{name} is no name: use a-z, 0-9 and _, a letter first. It becomes the procedure's id"
ENGINE = "The engine's code"
BELT = "The belt, teeth x pitch in mm (96x8)"
WHEELS = (
    "The wheels, the crankshaft's first, as the belt runs. In mm from the middle of the "
    "crankshaft, x to the right, y up, seen from the belt. An empty line ends them."
)
WHEEL = "Wheel {n}, NAME:X,Y:20t or :60mm or :60mm:throw8"
BEGUN = (
    "Begun: {file}\nNext: twoturns procedure check {path}\n"
    "What it says is what is to be filled in. server/docs/writing.md goes through it; "
    "reference.md has every word."
)
BLOCKS = "Which of them, in their order, with spaces between; an empty line for none"
NO_SUCH_BLOCK = "there is no block ''{name}'"
