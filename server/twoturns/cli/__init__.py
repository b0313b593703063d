"""
The command line. Exit codes: 0 done, 1 a finding or a refusal, 2 a wrong use.

Every command that works on a workshop takes `--data` (or TWOTURNS_DATA), its folder. A command's
module is loaded when the command is asked for: the list of all commands loads none of them.
"""

from importlib import import_module
from typing import Any

import click

from twoturns import __version__

# Each command's module, and the first sentence of its help.
COMMANDS = {
    "accept": (
        "devices",
        "Accept what is held back of a device: it counts as good, and all are given it.",
    ),
    "accept-loss": (
        "backup",
        "Go on with a ledger that has lost its newest records, and let the phones bring "
        "what they have.",
    ),
    "admit": (
        "devices",
        "Let a device speak for one person more, as a phone of the bay does; list for "
        "whom it speaks.",
    ),
    "backup": (
        "backup",
        "Add the ledger as it is now to the backup folder TARGET, and the photos it lacks.",
    ),
    "calc": (
        "calc",
        "The numbers of the trade: torque, belts, tension, coolant, intervals, numbers on labels.",
    ),
    "demo": ("demo", "Make a demo workshop, or go on with one, and serve it until Ctrl-C."),
    "doctor": (
        "doctor",
        "Look whether the workshop is well: key file, disk, clock, backup, photos, phones, "
        "address.",
    ),
    "enrol": ("enrol", "Invite a person: print a link that lets one device in, once."),
    "erase": (
        "erase",
        "Erase private values and photos: an order hides at once and is carried out later.",
    ),
    "export": ("bags", "Make an evidence bag of JOB: a zip that proves it without this workshop."),
    "held": ("devices", "List what is held back of revoked devices; of DEVICE, every entry."),
    "import": ("import_file", "Take in FILE, which a phone wrote because it could not send."),
    "init": ("workshop", "Make a workshop: its folder, its key, its first record."),
    "jobs": ("workshop", "List the jobs, the last one heard of first."),
    "key": ("key", "The workshop's key: show it, hand it over, recover it."),
    "move": (
        "move",
        "Move a workshop: its ledger to another engine, its photos to another place, and back.",
    ),
    "procedure": ("procedure", "Check a procedure, or publish it for work."),
    "rebuild": ("workshop", "Compute all views anew from the records and the blobs."),
    "recall": (
        "recall",
        "List recalls and tools that were found out; of NAME, a lot or a tool, every vehicle.",
    ),
    "refuse": (
        "devices",
        "Refuse what is held back of a device: it stays in the ledger, and nobody is given it.",
    ),
    "restore": (
        "backup",
        "Put a workshop back from the folder BACKUP into a new folder, all of it checked.",
    ),
    "retention": (
        "retention",
        "How long jobs are kept, and which are kept longer: proposed, never erased by itself.",
    ),
    "revoke": (
        "devices",
        "Revoke a device: it reads nothing from now on; what it still sends is held back.",
    ),
    "sample": ("sample", "Draw the sample of FILE again, and check what proves it."),
    "scrub": (
        "scrub",
        "Read every photo and private value through, and say what is not what it was.",
    ),
    "serve": ("serve", "Serve the workshop to phones and desks, until Ctrl-C."),
    "shut": ("devices", "Shut a device out for good: revoked, and nothing more is taken from it."),
    "verify": ("bags", "Check the evidence bag FILE, or each bag of a file that holds several."),
}


class Commands(click.Group):
    """The commands of `COMMANDS`; none ends in a traceback for what the system refuses."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        module = import_module(f"{__name__}.{COMMANDS[cmd_name][0]}")
        found = (each for each in vars(module).values() if isinstance(each, click.Command))
        return next(command for command in found if command.name == cmd_name)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        width = formatter.width - 6 - max(map(len, COMMANDS))  # as click leaves room
        with formatter.section("Commands"):
            formatter.write_dl(
                [
                    (name, click.Command(name, help=summary).get_short_help_str(width))
                    for name, (_, summary) in COMMANDS.items()
                ]
            )

    def invoke(self, ctx: click.Context) -> Any:  # noqa: ANN401 - what the command returns
        try:
            return super().invoke(ctx)
        except BrokenPipeError:
            raise  # who reads our output has seen enough: click ends without a word
        except OSError as error:
            from twoturns.cli.parts import told_of  # noqa: PLC0415 - seldom needed

            raise told_of(error) from error


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="twoturns")
def main() -> None:
    """Two Turns: evidence and order of work for the timing-belt job."""
    from twoturns.store import events  # noqa: PLC0415 - --help needs none

    events.listen(to_stderr=False)
