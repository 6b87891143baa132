"""The command's entry point: finds the command, and turns errors into a sentence and an exit code."""

from __future__ import annotations

import io
import sys

import click

from tracker import __version__
from tracker.cli.club import check, init, ladder
from tracker.cli.hand_overs import hand_over, take_over
from tracker.cli.lake import lake
from tracker.cli.planning import plan
from tracker.cli.privacy import audit, forget, retention
from tracker.cli.questions import accuracy, agreement, aim, change, gap, readiness, watch
from tracker.cli.records import correct, export_, import_, place
from tracker.cli.reports import report, sheet
from tracker.cli.safety import backup, restore
from tracker.cli.web import demo, pad, passcode, serve
from tracker.errors import TrackerError


@click.group(
    name="strikeladder",
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    help="Log strikes, know each player's real accuracy on each foot, and see who is ready for the next drill stage.",
    epilog="Start with: strikeladder demo",
)
@click.version_option(__version__, prog_name="strikeladder")
@click.option("--debug", is_flag=True, help="Show where an error came from, for a report to the makers.")
def strikeladder(*, debug: bool) -> None:
    """Holds the commands; ``--debug`` is read by ``main``."""


for _command in (
    demo,
    serve,
    passcode,
    pad,
    init,
    import_,
    export_,
    accuracy,
    gap,
    aim,
    readiness,
    change,
    agreement,
    watch,
    plan,
    report,
    sheet,
    hand_over,
    take_over,
    correct,
    place,
    ladder,
    lake,
    backup,
    restore,
    check,
    forget,
    retention,
    audit,
):
    strikeladder.add_command(_command)


def main(arguments: list[str] | None = None) -> None:
    """Runs the command. Exit codes: see ``tracker/errors.py``. A person never sees a traceback without ``--debug``."""
    given = sys.argv[1:] if arguments is None else arguments
    debug = "--debug" in given
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):  # a console that cannot show a name shows a question mark for it
            stream.reconfigure(errors="replace")
    try:
        plain = [one for one in given if one != "--debug"]
        strikeladder.main(args=["--debug", *plain] if debug else plain, prog_name="strikeladder")
    except TrackerError as error:
        if debug:
            raise
        click.echo(f"strikeladder: {error}", err=True)
        sys.exit(error.exit_code)
    except BrokenPipeError:
        sys.exit(0)
    except Exception as error:
        if debug:
            raise
        click.echo(
            f"strikeladder: something went wrong that was not foreseen ({type(error).__name__}: {error}). "
            "Nothing stored was lost. Run the same again with --debug for the details.",
            err=True,
        )
        sys.exit(1)


if __name__ == "__main__":
    main()
