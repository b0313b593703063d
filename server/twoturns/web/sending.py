"""
A blob on its way out: hashed whole before its first byte leaves, then sent from the same open file.

A part (`Range`) of a damaged file is as wrong as the whole, and cannot be told from a right one by
who gets it: so all of the file is read first, however little is asked for.
"""

import os

from flask import Response, request
from werkzeug.wsgi import FileWrapper

from twoturns.web.access import store


def whole_blob(sha256: str, mimetype: str) -> Response:
    """
    Answer with a blob, or the part of it that the request asks for.

    Raises:
        BlobDamaged: If its bytes are not here, or are not its own.
    """
    file = store().blobs.open_whole(sha256)
    size = file.seek(0, os.SEEK_END)
    file.seek(0)
    response = Response(FileWrapper(file), mimetype=mimetype, direct_passthrough=True)
    response.call_on_close(file.close)
    response.content_length = size
    response.set_etag(sha256)
    try:
        response.make_conditional(request, accept_ranges=True, complete_length=size)
    except BaseException:
        response.close()  # a part that is not there: nobody reads the file to its end
        raise
    return response
