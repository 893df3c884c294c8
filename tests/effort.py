"""How hard the tests look: few random examples by default, more where there is time.

`DRAWCORD_EFFORT=10` runs ten times as many as usual.
"""

import os

VARIABLE = "DRAWCORD_EFFORT"


def examples(usual: int) -> int:
    """So many random examples, times the effort asked for."""
    return max(1, round(usual * float(os.environ.get(VARIABLE, "1"))))
