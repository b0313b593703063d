"""The drive of a procedure: solved out of its block; the phone draws it."""
