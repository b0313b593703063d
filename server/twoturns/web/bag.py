"""The evidence bag of a job, for who has to show or to judge it elsewhere."""

import tempfile
from collections.abc import Callable
from functools import partial
from typing import Any, BinaryIO, cast

from flask import Response, send_file
from marshmallow import fields, validate

from twoturns.bag.naming import name_of
from twoturns.store.gather import GROUPS, gather, write
from twoturns.web.access import now, reads, require_job, sees_field, sight, store
from twoturns.web.api import BYTES, Form, Room
from twoturns.web.headers import NO_STORE
from twoturns.web.problems import Refused
from twoturns.words import t
from twoturns.words.en.web import bag as words

bag = Room("bag", "The evidence bag of a job")

IN_MEMORY_BYTES = 16 * 2**20  # a bag of copies fits; one of originals goes through a file


class BagForm(Form):
    """What is to be disclosed; without it private values stay behind and photos are copies."""

    groups = fields.String(
        data_key="with",
        load_default="",
        metadata={"description": f"Some of {', '.join(GROUPS)}, with commas between."},
    )
    originals = fields.String(
        load_default="0",
        validate=validate.OneOf(["0", "1"]),
        metadata={"description": "1: photos as they were taken, with all that is in the files."},
    )


@bag.route("/jobs/<job:job>/bag", methods=["GET"])
@bag.arguments(BagForm, location="query")
@bag.response(200, BYTES, content_type="application/zip")
@reads("owner", "auditor")
def of_job(form: dict[str, Any], job: str) -> Response:
    """Return the evidence bag of a job, a zip that proves it without this server."""
    require_job(job)
    evidence = gather(
        store(),
        job,
        groups=groups_of(form["groups"]),
        originals=form["originals"] == "1",
        made_on=f"{now():%Y-%m-%d}",
        sight=sight(),
    )
    return sent_whole(partial(write, store(), evidence), f"{name_of(evidence)}.zip")


def sent_whole(write_to: Callable[[BinaryIO], None], name: str) -> Response:
    """
    Return the answer that sends a zip as a file of a name.

    It is whole before the first byte leaves: a blob that differs is then a refusal, not half a zip.
    """
    file = tempfile.SpooledTemporaryFile(max_size=IN_MEMORY_BYTES)  # noqa: SIM115 - sent, then closed
    try:
        write_to(cast(BinaryIO, file))
        file.seek(0)
        answer = send_file(
            cast(BinaryIO, file),
            mimetype="application/zip",
            as_attachment=True,
            download_name=name,
        )
        answer.headers["Cache-Control"] = NO_STORE
    except BaseException:
        file.close()
        raise
    return answer


def groups_of(said: str) -> list[str]:
    """
    Return the groups of private values that are asked for, of `a,b`.

    Raises:
        Refused: `invalid`, if there is no such group; `not-found`, if the asker may not read it.
    """
    groups = [group for group in said.split(",") if group]
    if not set(groups) <= GROUPS.keys():
        raise Refused("invalid", f"with: some of {', '.join(GROUPS)} expected", where="with")
    if not all(sees_field(field) for group in groups for field in GROUPS[group]):
        raise Refused("not-found", t(words.MAY_NOT_READ_ALL))
    return groups
