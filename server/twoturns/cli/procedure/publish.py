"""`twoturns procedure publish`: let work go by a procedure."""

from pathlib import Path

import click

from twoturns.cli.parts import data_option, now, open_to_write, plain, refuses_in_words
from twoturns.cli.procedure.diff import concerned, published, told
from twoturns.cli.procedure.group import folder_argument, procedure
from twoturns.cli.procedure.proof import print_proof, proved, refuse_unproved
from twoturns.procedure.compare.editions import compare
from twoturns.procedure.compile.bundle import Bundle
from twoturns.store import Store
from twoturns.store.blob_texts import wants_an_owner
from twoturns.store.bundles import publish as publish_bundle
from twoturns.store.offers import hand_in
from twoturns.words import t
from twoturns.words.en.cli.procedure import publish as words


@procedure.command()
@folder_argument
@data_option
@refuses_in_words
def publish(path: Path, data: Path) -> None:
    """
    Compile, prove and publish the procedure in folder PATH. Again, it changes nothing.

    One that takes a house rule that stops otherwise is handed in instead: an owner reads what
    the maker asks for and publishes it on the page Procedures. Where an edition is published
    already it says what is another in this one, who must be told, and which jobs are open.

    Example:

    \b
        twoturns procedure publish demo_jobs/van-timing-drive
    """
    bundle, proof = proved(path, data)
    print_proof(path, bundle, proof)
    refuse_unproved(path, proof)
    store = open_to_write(data)
    _tell_changes(store, bundle)
    if wants_an_owner(bundle.bundle):
        is_new, said = hand_in(store, bundle, now()), t(words.HANDED_IN)
    else:
        is_new, said = publish_bundle(store, bundle, now()), t(words.PUBLISHED)
    click.echo(said if is_new else t(words.PUBLISHED_ALREADY))


def _tell_changes(store: Store, bundle: Bundle) -> None:
    """Say what is another than in the newest edition here, and whom that concerns."""
    editions = store.views.editions(bundle.bundle["id"])
    if not editions or editions[-1]["bundle"] == bundle.sha256:
        return
    before = published(store, bundle.bundle["id"], editions[-1]["edition"])
    click.echo(t(words.CHANGES, old=before["edition"], new=bundle.bundle["edition"]))
    found = compare(before, bundle.bundle)
    for line in (*told(found), *concerned(store, bundle.bundle["id"]), ""):
        click.echo(plain(line) if line else "")
