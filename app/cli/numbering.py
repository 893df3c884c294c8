"""`drawcord number`: panels, ports and cable numbers for the new runs of a project."""

from __future__ import annotations

import argparse

from app.cli.refusing import say_notes
from app.cli.report import counted
from app.cli.terminal import TerminalProgress, say
from app.jobs.numbering import GivenAtFrame, give_ports_in_file

_DONE = 0


def number_command(arguments: argparse.Namespace, progress: TerminalProgress) -> int:
    """Give what is to be given, save, and say what was given at every frame."""
    given, notes = give_ports_in_file(arguments.project, frame=arguments.frame, progress=progress)
    progress.clear()
    say_notes(notes)
    for at in given:
        say(_line(at))
    if not given:
        say("Cables were given their numbers.")
    say(f"Saved {arguments.project}")
    return _DONE


def _line(at: GivenAtFrame) -> str:
    panels = ", ".join(f"{p} (new)" if p in at.new_panels else p for p in at.panels)
    return f"{at.frame}: {counted(at.runs, 'run')} on panel{'s' * (len(at.panels) > 1)} {panels}"
