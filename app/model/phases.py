"""Phases: a number on a thing, with a name in the settings."""

from msgspec.structs import replace

from app.model.settings import Settings

NO_PHASE = 0


def phase_name(settings: Settings, phase: int) -> str:
    """The name of a phase, its number where it has none; empty for what is in no phase.

    The first name is that of phase 1.
    """
    if phase == NO_PHASE:
        return ""
    named = phase <= len(settings.phases) and settings.phases[phase - 1]
    return named or f"phase {phase}"


def with_phase_named(settings: Settings, phase: int, name: str) -> Settings:
    """The settings in which a phase (from 1) has this name; names at the end that are empty go."""
    names = [*settings.phases, *[""] * (phase - len(settings.phases))]
    names[phase - 1] = name
    while names and not names[-1]:
        names.pop()
    return replace(settings, phases=tuple(names))
