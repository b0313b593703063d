"""What `twoturns/cli/move.py` says."""

ONE_OF_EACH = "give --to once for the ledger, and once for the photos"
THERE_ALREADY = "It is there already: {where}"
LEDGER_WOULD = (
    "{old} has {n, plural, one {# record} other {# records}}; {there} of them are at {new} already."
)
LEDGER_MOVED = (
    "{n, plural, one {# record} other {# records}} moved from {old} to {new}, every one compared; "
    "{there} were there already.\n"
    "The old ledger stays as it is, with plates and VIN in it: back up the new one, then remove it."
)
ROOT = "Root: {root}"
ALONG = (
    "{is_done, select, true {Went} other {Would go}} along, beside records and tree:\n"
    "    last sign-ins of devices: {contacts, number}\n"
    "    what devices may still send: {allowances, number}\n"
    "    nonces that were used: {nonces, number}\n"
    "    what is known of photos and values that were read through: {checked, number}, in "
    "{slices, plural, one {# daily part} other {# daily parts}}\n"
    "{is_done, select, true {Made} other {Would be made}} anew: all views, from the records.\n"
    "{is_done, select, true {Stayed} other {Would stay}}: sessions (devices sign in again by "
    "themselves). What else lies in the workshop's folder (key, drafts, house.yaml) is where it "
    "was."
)
FENCE = (
    "{is_done, select, true {A note stands} other {A note would stand}} at {old} from then on (a "
    "fence): who still asks there is refused, and phones keep what they have. twoturns move "
    "brings it back."
)
PHOTOS_WOULD = (
    "{old} has {n, plural, one {# photo or value} other {# photos and values}}; {there} of them "
    "are at {new} already."
)
PHOTOS_MOVED = (
    "{n, plural, one {# photo or value} other {# photos and values}} moved from {old} to {new}, "
    "hashed as they came; {there} were there already.\n"
    "The old ones stay as they are, until you remove them: back up first."
)
PHOTOS_STAY = (
    "{is_done, select, true {Stayed} other {Would stay}} at the old place: halves of uploads "
    "(phones begin them again), thumbnails (made anew as they are asked for), and bytes that were "
    "set aside as damaged."
)
PHOTOS_FENCE = (
    "{is_done, select, true {A note stands} other {A note would stand}} in the ledger (a fence): "
    "who still has that old place takes no photo there, and phones keep theirs."
)
RECORDS_AT = "Records: {done} of {of}"
BLOBS_AT = "Photos and values: {done} of {of}"
BLOBS_DAMAGED = (
    "{n, plural, one {# photo or value was} other {# photos or values were}} not whole at the old "
    "place, and did not move:{listed}\nPut them in from a backup, or let the phones that took them "
    "send them again."
)
