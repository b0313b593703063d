"""
The evidence ledger: what was asserted, by which key, in which order it was received.

    canonical   the one way a value becomes bytes
    keys        Ed25519 keys, their names, the messages they sign
    bodies      what each kind of entry says
    entry       the signed line
    private     values that can be erased
    roster      which key belonged to which role, when
    standing    whether an entry can prove something
    record      an entry as it was received
    tree        the Merkle tree over the records
    checkpoint  its signed head

Pure: rows and files are `twoturns.store`. The one exception is `SigningKey.generate`, which asks
the operating system for chance.
"""
