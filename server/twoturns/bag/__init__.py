"""
The evidence bag: a job, provable without the server that kept it (RFC 8493 in a zip).

`write` makes one out of `Evidence`; `read` opens one that a stranger sent; `verify` says
what it proves; `account` tells the job out of its entries and `report` shows that to a person.
"""
