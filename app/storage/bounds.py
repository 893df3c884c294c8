"""How much a project file can hold: reading trusts no file beyond, saving writes none beyond."""

LARGEST_PROJECT_BYTES = 128 * 2**20
LARGEST_HISTORY_BYTES = 512 * 2**20
LARGEST_PLAN_BYTES = 256 * 2**20
LARGEST_TOGETHER_BYTES = 2**30
"""All plans' originals and drawings, packed as they are."""
LARGEST_STATE_BYTES = 64 * 2**20
LARGEST_STATES_BYTES = 512 * 2**20
"""One restore point's state, and those of all of them, packed as they are."""
LARGEST_ARCHIVE_BYTES = 2**30
LARGEST_JOURNAL_BYTES = 2**30
MOST_ENTRIES = 4_000
MOST_TIMES_PACKED = 250
FREE_BYTES = 2**20
"""Entries smaller than this are not held to the ratio."""
MOST_RECORDS, MOST_LISTS = 2_000_000, 4_000_000
"""Ten times what a project of 50,000 outlets has; with the greatest size of the text, they keep
what a file can take of memory under 1 GiB."""


def most_unpacked_bytes(packed_bytes: int) -> int:
    """What an entry of so many packed bytes may unpack to."""
    return max(FREE_BYTES, packed_bytes * MOST_TIMES_PACKED)
