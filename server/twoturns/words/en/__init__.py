"""The sentences, in English: `en/ROOM/MODULE.py` holds those of `twoturns/ROOM/MODULE.py`."""
