"""The machine that a bundle carries, and what the entries of a job make of it."""
