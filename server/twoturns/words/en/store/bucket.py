"""What `twoturns/store/bucket.py` says."""

CLIENT_MISSING = "what speaks to the store of the photos is not installed"
CLIENT_MISSING_HINT = "Install it: pip install 'twoturns[scale]'. The photos are as they were."
NO_PHOTOS_THERE = "no workshop has its photos where this one is to have them"
HEEDS_NOTHING = "the store of the photos heeds no conditions (If-Match, If-None-Match)"
HEEDS_NOTHING_HINT = (
    "Take a store that heeds both, as SeaweedFS does: else two who send one photo at once, or "
    "bytes that change while they are read, go unseen."
)
STILL_THERE = "{where}{name} is still there after its removal"
PHOTOS_OF_ANOTHER = "the photos where this workshop is to have its own are another workshop's"
