"""No test of a browser may hang for ever; the fixtures are in fixtures.py."""

from browser.patience import no_test_hangs_for_ever

__all__ = ["no_test_hangs_for_ever"]
