"""Hypothesis strategies for canonical values."""

import unicodedata

from hypothesis import strategies as st

from twoturns.ledger import canonical

texts = st.text(max_size=40).map(lambda text: unicodedata.normalize("NFC", text))
integers = st.integers(-canonical.MAX_INTEGER, canonical.MAX_INTEGER)
names = st.from_regex(r"[a-z][a-z0-9_]{0,8}", fullmatch=True)
values = st.recursive(
    st.none() | st.booleans() | integers | texts,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(names, inner, max_size=5),
    max_leaves=20,
)
