"""Where a row of factors is refused: α × height must rise up to every height of the table, not stand still there."""

from __future__ import annotations

import pytest

from heave.errors import InputError
from heave.planning import AlphaRow

FALLING = {
    # what the next factor is where α × height, a parabola between two heights, has its top at the upper one
    "1 to 2 m": ((0.75, 0.5, 0.5, 0.5), 1),  # 3 α₂ = 2 α₁
    "2 to 4 m": ((0.75, 0.75, 0.5, 0.5), 2),  # 3 α₄ = 2 α₂
    "4 to 6 m": ((0.5, 0.5, 0.5, 0.375), 3),  # 4 α₆ = 3 α₄
}


@pytest.mark.parametrize("where", FALLING)
def test_at_the_top_itself_it_no_longer_rises(where: str) -> None:
    factors, place = FALLING[where]
    for more, right in ((-1e-3, False), (0.0, False), (1e-3, True)):
        changed = [one + (more if i == place else 0.0) for i, one in enumerate(factors)]
        if right:
            assert AlphaRow(3600.0, *changed).factors == tuple(changed)
        else:
            with pytest.raises(InputError, match="rises with height"):
                AlphaRow(3600.0, *changed)
