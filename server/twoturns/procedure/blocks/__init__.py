"""Blocks: what is the same on every car, with its figures left open."""
