"""The dialog that imports a plan: how sure it says it is."""

import pytest

from app.ui.dialogs.import_plan import _likely


@pytest.mark.parametrize(
    ("share", "said"),
    [
        (1.0, "over 99 % likely"),
        (0.9951, "over 99 % likely"),
        (0.97, "97 % likely"),
        (0.5, "50 % likely"),
        (0.01, "1 % likely"),
        (0.004, "under 1 % likely"),
        (0.0, "under 1 % likely"),
    ],
)
def test_a_guess_is_never_told_as_certain_or_impossible(share: float, said: str) -> None:
    assert _likely(share) == said
