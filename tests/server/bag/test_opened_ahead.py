"""Files of a bag are opened one ahead: each is given once, in order, and none stays open."""

import io
from contextlib import closing

import pytest

from twoturns.bag.write import _opened


def opening(names: str) -> tuple[dict, dict]:
    streams = {name: io.BytesIO(name.encode()) for name in names}
    return {name: (lambda name=name: streams[name]) for name in names}, streams


@pytest.mark.parametrize("names", ["", "a", "ba", "dcab"])
def test_every_file_is_given_once_in_order(names):
    files, _ = opening(names)
    with closing(_opened(files)) as opened:
        said = [(name, stream.read().decode()) for name, stream in opened]
    assert said == [(name, name) for name in sorted(names)]


def test_who_ends_early_leaves_no_file_open_that_was_opened_ahead():
    files, streams = opening("abc")
    with closing(_opened(files)) as opened:
        _, stream = next(opened)
        stream.close()
    assert [streams[name].closed for name in "ab"] == [True, True]


def test_a_file_that_cannot_be_opened_is_told_in_its_turn():
    files, _ = opening("ac")
    files["b"] = {}.__getitem__  # asked for nothing: it cannot be called so
    with closing(_opened(files)) as opened:
        assert next(opened)[0] == "a"
        with pytest.raises(TypeError):
            next(opened)
