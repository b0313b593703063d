"""
A field of many values, for the requests that phones send most.

Marshmallow makes each value anew, by some calls of its own. What is already what it must be is
taken as it stands; what is not, it is asked about, so that it judges and words it as ever.
"""

from collections.abc import Mapping
from typing import Any

from marshmallow import fields


class Texts(fields.List[str]):
    """A list of texts."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(fields.String(), **kwargs)

    def _deserialize(
        self,
        value: Any,  # noqa: ANN401 - any JSON value
        attr: str | None,
        data: Mapping[str, Any] | None,
        **kwargs: Any,
    ) -> list[str | None]:
        if type(value) is list and all(type(each) is str for each in value):
            return value
        return super()._deserialize(value, attr, data, **kwargs)
