"""Project file, journal, recovery, locks."""
