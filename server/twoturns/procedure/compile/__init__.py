"""From the source of a procedure to its bundle, and bundles of unknown origin checked."""
