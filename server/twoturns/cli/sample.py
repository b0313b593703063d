"""`sample`: the jobs of a sample drawn again, out of a file alone."""

import json
import zipfile
from pathlib import Path

import click

from twoturns.bag.evidence import BagUnreadable
from twoturns.bag.many import sheet_in
from twoturns.bag.sheet import RULE, judge_sheet
from twoturns.cli.parts import FILE, plain
from twoturns.cli.verdict import sample_lines, sample_said
from twoturns.words import t
from twoturns.words.en.cli import sample as words


@click.command()
@click.argument("file", type=FILE)
@click.option("--key", help="The workshop's fingerprint, from paper.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object, for programs.")
def sample(file: Path, key: str | None, as_json: bool) -> None:
    """
    Draw the sample of FILE again, and check what proves it.

    Prints the rule, what was frozen, the auditor's word, and the jobs in the order in which they
    are drawn. Needs no workshop. Exits 0 if all of it holds, else 1.

    Example:

    \b
        twoturns sample sample.zip --key kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k
    """
    try:
        with file.open("rb") as opened:
            files = sheet_in(opened)
    except (BagUnreadable, zipfile.BadZipFile) as error:
        raise click.ClickException(str(error)) from error
    if not files:
        raise click.ClickException(t(words.NO_SAMPLE))
    drawn, workshop, findings = judge_sheet(files)
    is_known = key is None or "".join(key.split()) == workshop
    holds = not findings and is_known
    if as_json:
        told = drawn and sample_said(drawn)
        odd = [one.what for one in findings]
        said = {"holds": holds, "workshop": workshop, "findings": odd, "sample": told}
        click.echo(json.dumps(said, indent=2))
    else:
        lines = [f"{one.file}: {one.what}. {one.hint}" for one in findings]
        lines += sample_lines(drawn) if drawn is not None else []
        if not is_known:
            lines.append(t(words.OTHER_WORKSHOP, workshop=workshop))
        elif key is None:
            lines.append(t(words.ANY_WORKSHOP, workshop=workshop))
        click.echo(files.get(RULE, b"").decode("utf-8", "replace"))
        click.echo("\n".join(map(plain, lines)))
    raise SystemExit(0 if holds else 1)
