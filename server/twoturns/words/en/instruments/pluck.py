"""What `twoturns/instruments/pluck.py` says."""

SHEET_READING_NOT_FORM = "The sheet of this reading has not its form."
SHEET_EDITION_KNOWN_HERE = "The sheet is of edition {edition}; {known} is known here."
VERIFY_VERSION_KNOWS = "Verify with the version that knows it."
READING_RESTS_CLIPS_INSTEAD = "The reading rests on {set} clips instead of {plucks}."
TAKE_READING_ANEW = "Take the reading anew."
WAIT_UNTIL_PHONE_SENT_ASK = "Wait until the phone has sent it, or ask for it."
CLIP_READING_NOT_HERE = "A clip of this reading is not here."
CLIP_READING_NO_KHZ_WAV = "A clip of this reading is no 48 kHz WAV file of one channel and 16 bit."
CLIP_READING_GIVES_NO_VALUE = "A clip of this reading gives no value: {reject}."
CLIPS_READING_LIE_MORE_THAN = (
    "The clips of this reading lie more than {most_spread_percent} % apart."
)
