"""The sample projects that travel with the program."""

from app.resource_files import sample_path

SAMPLES = (
    (
        "ferry-terminal.drawcord",
        "Open the ferry terminal",
        "A sample of three floors, with runs that are too long.",
    ),
    (
        "small-office.drawcord",
        "Open the small office",
        "A sample for the first five minutes: one floor, 24 outlets.",
    ),
)


def standing_samples() -> tuple[tuple[str, str, str], ...]:
    """The samples that this installation has."""
    found = []
    for sample in SAMPLES:
        try:
            sample_path(sample[0])
        except FileNotFoundError:
            continue
        found.append(sample)
    return tuple(found)
