"""Heights whose unit and marks do not go together: refused by line and column, never read as other seas."""

from __future__ import annotations

import pytest

from heave.errors import FileError
from heave.files.forecast.reader import read_forecast


def test_centimetres_with_a_mark_of_thousands_are_refused_and_small_seas_in_them_are_read() -> None:
    """A thousand centimetres written 1.000 came out as a centimetre of sea, in silence."""

    def file_of(cells: list[str]) -> bytes:
        rows = [f"2026-05-01T{hour:02d}:00Z,{cell},9,225" for hour, cell in enumerate(cells)]
        return "\n".join(["time_utc,Hs (cm),tp_s,direction_from_deg", *rows]).encode()

    with pytest.raises(FileError, match=r"line 2, column .*1\.250.*without a mark of thousands"):
        read_forecast(file_of(["1.250", "1.100"]))
    for cells, metres in ((["12", "8.5"], [0.12, 0.085]), (["125.250", "1.250"], [1.2525, 0.0125])):
        assert read_forecast(file_of(cells)).batch.hs == pytest.approx(metres)
