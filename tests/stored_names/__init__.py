"""Names that are stored, published or shared between two builds. The literals here are the law.

A device updates while its records stay, a second tab may still run the build before, and a hub, a
history file or a job file may be years older than whoever reads it. So whatever the code calls
these things, the words in the tests stand: a name may be added, none may be lost or respelled.
"""
