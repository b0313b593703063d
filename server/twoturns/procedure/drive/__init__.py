"""The drive of a procedure: solved out of its block, and drawn as an SVG."""
