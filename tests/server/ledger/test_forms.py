"""The forms of text stand in one module, and take what formats.md says and nothing beside."""

from pathlib import Path

import pytest

import twoturns
from twoturns.ledger import forms
from twoturns.ledger.forms import is_formed

ONCE = ("SHA256", "KEY", "SIGNATURE", "UUID7", "NAME", "KIND", "DECIMAL", "AT")


@pytest.mark.parametrize("name", ONCE)
def test_a_form_is_written_once_on_the_server(name):
    server = Path(twoturns.__file__).parent
    written = [
        path.name for path in server.rglob("*.py") if getattr(forms, name) in path.read_text()
    ]
    assert written == ["forms.py"]


@pytest.mark.parametrize(
    ("form", "good", "bad"),
    [
        (forms.SHA256, "0f" * 32, ["0F" * 32, "0f" * 31, "0f" * 32 + "\n"]),
        # RFC 9562 section 5.7: version 7, variant 10.
        (
            forms.UUID7,
            "017f22e2-79b0-7cc3-98c4-dc0c0c07398f",  # RFC 9562, appendix A.6
            ["017f22e2-79b0-4cc3-98c4-dc0c0c07398f", "017f22e2-79b0-7cc3-78c4-dc0c0c07398f"],
        ),
        (forms.DECIMAL, "26.50", ["26.", ".5", "+1", "01", "1e3", "1\n", "٣", 26]),
        (forms.NAME, "a" + "_" * 63, ["", "A", "1a", "a" + "_" * 64, "a\n"]),
        (forms.KIND, "blob.kept", ["blob", "blob.", "blob.kept.more"]),
        (
            forms.AT,
            "2026-11-29T20:42:32.000Z",
            ["2026-11-29T20:42:32Z", "2026-11-29 20:42:32.000Z"],
        ),
    ],
)
def test_a_form_takes_all_of_a_text_or_nothing(form, good, bad):
    assert is_formed(good, form)
    assert not [each for each in bad if is_formed(each, form)]
