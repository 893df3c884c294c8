"""How much a project file and a client's list can hold: reading trusts no file beyond, and saving
writes none beyond."""

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

LARGEST_LIST_BYTES = 16 * 2**20
LARGEST_LIST_UNPACKED_BYTES = 32 * 2**20
"""A client's list as a file, and all parts of a workbook together."""
MOST_LIST_PARTS = 2_000
MOST_LIST_ROWS, MOST_LIST_COLUMNS, MOST_LIST_CELLS = 20_000, 200, 500_000
"""Rows and cells with something in them: ten times the rooms of the largest terminals."""
MOST_LIST_LINES = 2_000_000
"""Empty rows that a sheet may count through: a full sheet has 1,048,576."""
LONGEST_CELL = 2_000


def most_unpacked_bytes(packed_bytes: int) -> int:
    """What an entry of so many packed bytes may unpack to."""
    return max(FREE_BYTES, packed_bytes * MOST_TIMES_PACKED)
