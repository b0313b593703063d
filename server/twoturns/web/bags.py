"""Several evidence bags in one file: of jobs that were chosen, or of a sample."""

from typing import Any

from flask import Response
from marshmallow import fields, validate

from twoturns.bag.many import write_many
from twoturns.ledger import forms
from twoturns.store.gather_many import bags_of
from twoturns.store.gather_sample import no_such_sample, sheet_of
from twoturns.web.access import now, reads, require_job, sight, store
from twoturns.web.api import BYTES, Form, Room
from twoturns.web.bag import groups_of, sent_whole

bags = Room("bags", "Several evidence bags in one file")

MOST_JOBS = 500
_JOB = fields.String(validate=validate.Regexp(rf"\A{forms.UUID7}\Z"))


class BagsForm(Form):
    """Which jobs, and what is to be disclosed of them; `sample`: the freeze of theirs."""

    jobs = fields.List(_JOB, required=True, validate=validate.Length(0, MOST_JOBS))
    groups = fields.String(data_key="with", load_default="")
    originals = fields.String(load_default="0", validate=validate.OneOf(["0", "1"]))
    photos = fields.List(
        fields.String(validate=validate.Regexp(rf"\A{forms.SHA256}\Z")),
        metadata={"description": "The photos that go along; without it all of the jobs do."},
    )
    sample = fields.String(
        validate=validate.Regexp(rf"\A{forms.SHA256}\Z"),
        metadata={"description": "The id of an `audit.frozen`: what proves its draw goes along."},
    )


@bags.route("/bags", methods=["POST"])
@bags.arguments(BagsForm)
@bags.response(200, BYTES, content_type="application/zip")
@reads("owner", "auditor")
def of_jobs(form: dict[str, Any]) -> Response:
    """Return a zip of evidence bags, each as it is by itself, and of a sample what proves it."""
    jobs = list(dict.fromkeys(form["jobs"]))
    for job in jobs:
        require_job(job)
    day = f"{now():%Y-%m-%d}"
    wishes = {
        "groups": groups_of(form["groups"]),
        "originals": form["originals"] == "1",
        "photos": form.get("photos"),
        "made_on": day,
        "sight": sight(),
    }
    sample = _sample(form["sample"]) if "sample" in form else {}
    folder = f"two-turns-{'sample' if sample else 'bags'}_{day}"
    bags_here = bags_of(store(), jobs, **wishes)
    return sent_whole(lambda out: write_many(bags_here, sample, folder, out), f"{folder}.zip")


def _sample(freeze: str) -> dict[str, bytes]:
    """Return the files of a sample's sheet: an auditor's of its own alone."""
    if not store().views.has_audits(freeze, sight()):
        raise no_such_sample()
    return sheet_of(store(), freeze)[1]
