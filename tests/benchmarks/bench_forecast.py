"""How long reading takes: ten days of three systems, and forty years of hours of two, in several layouts.

python tests/benchmarks/bench_forecast.py

Every figure is of a process of its own, in processor time. 'Line by line' is the careful reading that every file
had before tables were read in bulk, and that a file which is not plain still has.
"""

from __future__ import annotations

import io
import subprocess
import sys
import tempfile
from datetime import datetime, timedelta
from pathlib import Path
from time import process_time

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from heave.files import tables
from heave.files.forecast.reader import read_forecast

SAMPLE = Path(__file__).resolve().parents[2] / "sea_states" / "sample_forecast.csv"
HOURS = 350_640
HEAD = "time_utc,shww,mpww,mdww,swh1,mwp1,mwd1"


def hindcast() -> str:
    """Forty invented years, heights to 0.01 m and energy periods to 0.1 s as hindcasts give them."""
    chance = np.random.default_rng(1)
    times = np.datetime64("1985-01-01T00") + np.arange(HOURS).astype("timedelta64[h]")
    columns = (
        np.datetime_as_string(times, unit="m"),
        chance.uniform(0.3, 6.0, HOURS).round(2),
        chance.uniform(5.0, 12.0, HOURS).round(1),
        chance.integers(0, 360, HOURS),
        chance.uniform(0.3, 3.0, HOURS).round(2),
        chance.uniform(8.0, 16.0, HOURS).round(1),
        chance.integers(0, 360, HOURS),
    )
    return "\n".join([HEAD, *(",".join(map(str, row)) for row in zip(*columns, strict=True))])


def layouts(text: str) -> dict[str, str]:
    """The same record in the forms files come in."""
    lines = text.split("\n")[1:]
    words = "\n".join(line[:16].translate(str.maketrans("-T:", "   ")) + line[16:] for line in lines)
    missing = "\n".join(
        line if place % 3 else line[:16] + ",,,,-999,-999,-999" for place, line in enumerate(lines)
    )
    return {
        "plain": text,
        "Windows line ends": text.replace("\n", "\r\n"),
        "decimal comma": text.replace(",", ";").replace(".", ","),
        "a third missing": f"{HEAD}\n{missing}",
        "buoy centre's words": "#YY MM DD hh mm WWH WWP WWD SwH SwP SwD\n" + words.replace(",", " "),
        "one quoted cell": text.replace("1985-01-01T00:00", '"1985-01-01T00:00"', 1),
    }


def workbook() -> bytes:
    """A year of hours of three systems as a workbook."""
    import openpyxl

    book = openpyxl.Workbook(write_only=True)
    sheet = book.create_sheet("Forecast")
    parts = [
        f"{name} {what}"
        for name in ("Total", "Wind sea", "Swell")
        for what in ("Hs (m)", "Tp (s)", "dir from (deg)")
    ]
    sheet.append(["Time (UTC)", *parts])
    for hour in range(8760):
        time = datetime(2026, 1, 1) + timedelta(hours=hour)
        sheet.append([time, 2.5, 6.1, 210, 2.0, 6.1, 210, 1.5, 11.2, 200])
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


def memory(key: str) -> float:
    """What the system says of this process [MB]; 0 where it does not say."""
    status = Path("/proc/self/status")
    lines = status.read_text().splitlines() if status.exists() else []
    return next((int(line.split()[1]) / 1e3 for line in lines if line.startswith(key)), 0.0)


def one(path: str, way: str) -> None:
    """Read one file and print seconds of processor time, growth of the peak memory and the number of seas."""
    read_forecast(SAMPLE)
    if way == "line by line":
        tables.BULK_FROM = 10**9  # type: ignore[misc]
    before, start = memory("VmRSS"), process_time()
    found = read_forecast(path)
    print(f"{process_time() - start:.3f} {memory('VmHWM') - before:.0f} {found.size}")


def main() -> None:
    """Print the figures."""
    read_forecast(SAMPLE)
    start = process_time()
    for _ in range(10):
        read_forecast(SAMPLE)
    print(f"10 days hourly, 3 systems: {(process_time() - start) * 100:.1f} ms")
    data = workbook()
    start = process_time()
    read_forecast(data)
    print(f"a year hourly, 3 systems, .xlsx: {process_time() - start:.2f} s (budget 3 s)")
    print(f"40 years hourly, 2 systems, {HOURS} rows: processor time and growth of peak memory")
    with tempfile.TemporaryDirectory() as folder:
        for name, text in layouts(hindcast()).items():
            path = Path(folder) / "record.csv"
            path.write_bytes(text.encode())
            told = [f"{name:20}{path.stat().st_size / 1e6:5.1f} MB"]
            for way in ("line by line", "in bulk"):
                command = [sys.executable, __file__, str(path), way]
                seconds, grown, _ = subprocess.run(
                    command, capture_output=True, text=True, check=True
                ).stdout.split()
                told.append(f"{way} {float(seconds):5.2f} s {grown:>4} MB")
            print("   ".join(told), flush=True)


if __name__ == "__main__":
    one(*sys.argv[1:]) if len(sys.argv) == 3 else main()
