"""The web: Flask, one blueprint a concern, marshmallow at the boundary."""

from twoturns.web.app import create_app

__all__ = ["create_app"]
