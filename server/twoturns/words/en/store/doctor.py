"""What `store/doctor` says."""

RECORDS_WHOLE = "{size, plural, one {# record} other {# records}}; those looked at are whole"
KEY_MISSING = "{path} is not there: nothing can be signed"
KEY_PRIVATE = "{path} can be read by its owner alone"
KEY_READABLE = "{path} can be read by others than its owner (mode {mode})"
PAPER_THERE = "a recovery key was made, for the paper in the safe"
PAPER_LACKS = "no recovery key was ever made"
FOLDER_PRIVATE = "the folder is not open to everybody on this computer"
FOLDER_OPEN = "{folder} can be entered by everybody on this computer"
STANDBY_THERE = "the ledger's server has a standby, which has each entry before it is told as kept"
STANDBY_LACKS = "the ledger's server has no standby that has each entry before it is told as kept"
DISK_FREE = "{gib, number, ::.0} GiB are free"
DISK_LASTS = (
    "{gib, number, ::.0} GiB are free, which lasts {days, plural, one {# day} other {# days}} "
    "as photos come in now"
)
CLOCK_BEHIND = "the newest record was received {newest}, and this computer says it is {now}"
CLOCK_OFF = (
    "of the devices that sent the newest records half are "
    "{minutes, plural, one {# minute} other {# minutes}} or more off this computer''s clock"
)
CLOCK_RIGHT = "the devices that sent the newest records agree with this clock ({n} were compared)"
BACKUP_NEVER = "no backup was ever made"
BACKUP_AGE = (
    "the last backup is {days, plural, =0 {of today} one {# day old} other {# days old}}; "
    "{lacks, plural, =0 {nothing is} one {# record is} other {# records are}} in none"
)
PHOTO_STORE_BAD = "photos cannot be kept or shown: {what}"
PHOTO_STORE_ANSWERS = "the store of the photos answers: {where}"
PHOTOS_DAMAGED = (
    "{n, plural, one {# photo or value is} other {# photos or values are}} not what was kept"
)
PHOTOS_UNREAD = "no photo was read through yet"
PHOTOS_NONE = "no photo is kept yet"
PHOTOS_WHOLE = "nothing that was read through is damaged; the last were read on {day}"
PHONE_SILENT = (
    "{role} {device} {ever, select, true {has not called since {day}} other {never called}}"
)
PHONES_CALL = (
    "{n, plural, =0 {no device was let in yet} one {# device calls} other {all # devices call}}"
)
HINTS = {
    "standby": "Set one up, and name it in synchronous_standby_names: what a server that fails for "
    "good had, and no backup has, is lost else, as far as phones have freed it.",
    "records": "Serve it no more. Restore the newest backup that is whole: twoturns restore",
    "key-missing": "Put the copy of workshop.key back, or: twoturns key recover",
    "key-wrong": "Put the newest copy of workshop.key back, or: twoturns key recover",
    "key-mode": "Take it from the others, chmod 600; if one may have read it: twoturns key rotate",
    "paper": "Make one and put it on paper, away from here: twoturns key commit",
    "folder": "Take it from the others: chmod 700",
    "disk": "Make room, or move the folder to a larger disk, before photos have to wait on phones.",
    "clock-back": "Set this computer''s clock, by a time server, before it serves on.",
    "clock": "Look whether this computer sets its clock by a time server.",
    "backup": "Make one, daily, on another disk: twoturns backup FOLDER",
    "photo-store": "Start it, or set photos.url and its key right; phones keep what waits.",
    "photos": "See which and put them back: twoturns scrub --from BACKUP",
    "photos-unread": "It is done by `serve`, a part each day; or at once: twoturns scrub",
    "phone": "Ask for it. If it is lost: twoturns revoke. What it holds is sent when it is opened.",
    "url-insecure": "Put a proxy with a certificate in front: server/docs/running.md, section 2.",
    "url-unreached": "Look whether the proxy runs, and whether the name leads to it.",
    "url-certificate": "Renew the certificate; phones refuse the address until then.",
    "url-expiry": "Look whether the certificate renews itself.",
    "url-other": "Send that name to this workshop, before a phone asks there.",
    "url-hsts": "Have the proxy pass X-Forwarded-Proto, and name it: twoturns serve --proxy",
    "url-clock": "Set the clocks by a time server.",
    "unopened": "See what is said of that workshop alone: twoturns doctor --workshop HOST",
    "stray": "Take it out of there, or name it as its phones ask for it.",
    "twins": "Take all but one away before they are served: one key must not write two ledgers.",
    "url-health": "See what `serve` says; the proxy reaches it, and it cannot work.",
}
