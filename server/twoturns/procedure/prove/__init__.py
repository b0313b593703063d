"""Proving a bundle: every way one phone can go, and what is wrong with any of them."""
