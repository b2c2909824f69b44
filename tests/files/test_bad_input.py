"""The catalogue of bad files: each is refused in words that name the place, the value and what is allowed."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from time import thread_time
from typing import Any

import pytest

import heave
from heave.errors import FileError
from heave.files.buoy import read_buoy_spectra
from heave.files.columns import Column, number_headers, take, text_column
from heave.files.json_text import read_document
from heave.files.plan import plan_to_json
from heave.files.response_table import read_response_table
from heave.files.string import read_string
from heave.files.tables import Source, read_table

STRING = b"""name,length_m,od_mm,id_mm,mass_kg_per_m,yield_mpa
Drill pipe,2500,127,108.6,33.6,931
Heavy weight,90,127,76.2,74.5,379
"""
GRADED = b"name,length_m,od_in,id_in,weight_lb_per_ft,grade\na,9,5,4.276,22,E-75\n"
RESPONSE = b"""# format: heave-response-table 1
# phase: lead
# rotation_per: wave_amplitude
# symmetric: yes
# reference_x_m: 0
# reference_y_m: 0
# heading_convention: travel_from_bow (180 head)
# source: invented
period_s,heading_deg,heave_m_per_m,heave_phase_deg,roll_deg_per_m,roll_phase_deg,pitch_deg_per_m,pitch_phase_deg
8,0,0.2,10,0,0,0.3,-90
8,60,0.2,10,0,0,0.3,-90
8,120,0.2,10,0,0,0.3,-90
8,180,0.2,10,0,0,0.3,-90
12,0,0.6,5,0,0,0.4,-90
12,60,0.6,5,0,0,0.4,-90
12,120,0.6,5,0,0,0.4,-90
12,180,0.6,5,0,0,0.4,-90
"""
BUOY = b"""#YY  MM DD hh mm   .0800   .0900   .1000   .1100
2026 02 01 00 50    0.40    2.00    6.00    2.00
2026 02 01 01 50    0.50    4.00    9.00    3.00
"""
REAL_TIME = b"""#YY  MM DD hh mm Sep_Freq  < spec_1 (freq_1) spec_2 (freq_2) spec_3 (freq_3) ... >
2026 02 01 01 50 0.225 0.500 (0.080) 4.000 (0.090) 9.000 (0.100)
2026 02 01 00 50 9.999 0.400 (0.080) 2.000 (0.090) 6.000 (0.100)
"""
JSON = b'{"format": "f", "version": 1, "a": {"b": [1, 2.5]}}'


def forecast(source: Source) -> Any:
    columns = (
        text_column("time_utc"),
        Column(
            "hs", number_headers("hs", "m", "ft"), missing=True, sentinels=(-999.0, 99.0), low=0.0, high=25.0
        ),
        Column("tp", number_headers("tp", "s"), low=2.0, high=30.0),
        Column("direction_from", {"direction_from_deg": 1.0}, required=False, low=0.0, high=360.0),
    )
    return take(read_table(source), columns)


def document(source: Source) -> Any:
    return read_document(source, "f", 1)


Reader = Callable[[Source], Any]
S, R, B, J, F = read_string, read_response_table, read_buoy_spectra, document, forecast
HEAD = "time_utc,hs_m,tp_s\n"


def swap(data: bytes, old: str, new: str, count: int = 1) -> bytes:
    assert old.encode() in data
    return data.replace(old.encode(), new.encode(), count)


Case = tuple[str, Reader, bytes, int | None, str | None, tuple[str, ...]]
"""Name, reader, file, line, column, and words the message must hold."""

NUMBERS: list[Case] = [
    ("a NaN", S, swap(STRING, "2500", "NaN"), 2, "length_m", ("'NaN'", "finite number")),
    ("a lower-case nan", R, swap(RESPONSE, "0.6", "nan"), 14, "heave_m_per_m", ("'nan'", "finite number")),
    ("infinity", S, swap(STRING, "931", "inf"), 2, "yield_mpa", ("'inf'", "finite number")),
    ("minus infinity", B, swap(BUOY, "6.00", "-Inf"), 2, ".1000\u00a0Hz", ("'-Inf'", "finite number")),
    ("an overflow", S, swap(STRING, "2500", "1e999"), 2, "length_m", ("'1e999'", "finite number")),
    ("a spreadsheet error", S, swap(STRING, "2500", "#N/A"), 2, "length_m", ("'#N/A'", "finite number")),
    ("a spreadsheet reference error", F, b"time_utc,hs_m,tp_s\na,#REF!,8\n", 2, "hs_m", ("'#REF!'",)),
    ("a unit inside the cell", S, swap(STRING, "2500", "2500 m"), 2, "length_m", ("'2500 m'", "finite")),
    ("a hexadecimal number", S, swap(STRING, "2500", "0x9c4"), 2, "length_m", ("'0x9c4'", "finite")),
    ("an underscore in a number", S, swap(STRING, "2500", "2_500"), 2, "length_m", ("'2_500'", "finite")),
    ("digits of another script", S, swap(STRING, "2500", "٢٥٠٠"), 2, "length_m", ("finite",)),
    ("a space for thousands", S, swap(STRING, "2500", "2 500"), 2, "length_m", ("'2 500'", "finite")),
    ("two decimal points", S, swap(STRING, "108.6", "108.6.1"), 2, "id_mm", ("'108.6.1'", "finite")),
    ("an empty cell", S, swap(STRING, "2500", ""), 2, "length_m", ("an empty cell", "above 0 to")),
    ("a negative length", S, swap(STRING, "2500", "-2500"), 2, "length_m", ("'-2500'\u00a0m", "above 0 to 15")),
    ("a diameter in metres headed mm", S, swap(STRING, "127,", "0.127,"), 2, "od_mm",
     ("'0.127'\u00a0mm", "from 20")),
    ("a bore wider than the pipe", S, swap(STRING, "108.6", "130"), 2, None, ("inside diameter", "below")),
    ("an unknown grade", S, swap(GRADED, "E-75", "Z-9"), 2, "grade", ("'Z-9'", "S-135")),
    ("a height past any sea", F, b"time_utc,hs_m,tp_s\na,26,8\n", 2, "hs_m", ("'26'\u00a0m", "from 0 to 25")),
    ("a missing value where none may be", F, b"time_utc,hs_m,tp_s\na,1,\n", 2, "tp_s",
     ("empty", "2.00 to 30")),
    ("a density below nothing", B, swap(BUOY, "6.00", "-1.0"), 2, ".1000\u00a0Hz",
     ("-1.0\u00a0m²/Hz", "from 0 to 900")),
]  # fmt: skip

COMMAS: list[Case] = [
    ("decimal commas between commas, quoted", F, b'time_utc,hs_m,tp_s\na,"2,5",8\n', 2, "hs_m",
     ("'2,5'", "decimal point")),
    ("decimal commas between commas, bare", F, b"time_utc,hs_m,tp_s\na,2,5,8\n", 2, None, ("4", "3 cells")),
    ("a comma that may be thousands", F, b"time_utc;hs_m;tp_s\na;1,290;8\n", 2, "hs_m",
     ("'1,290'", "two ways")),
    ("commas and points together", F, b"time_utc;hs_m;tp_s\na;2,5;8\nb;2.5;8\n", 2, "hs_m",
     ("'2,5'", "line 3 has a decimal point")),
    ("thousands and decimals together", F, b"time_utc;hs_m;tp_s\na;1.290,5;8\n", 2, "hs_m", ("'1.290,5'",)),
    ("two delimiters in the header", F, b"time_utc;hs_m,tp_s\na;1,8\n", 1, None,
     ("comma and semicolon", "one")),
    ("another delimiter below the header", F, b"time_utc,hs_m,tp_s\na;1;8\n", 2, None, ("1", "3 cells")),
    ("a sep= line against the header", F, b"sep=;\ntime_utc,hs_m,tp_s\na,1,8\n", 2, None,
     ("comma", "semicolon")),
    ("a sep= line with a strange mark", F, b"sep=|\ntime_utc|hs_m|tp_s\na|1|8\n", 1, None, ("'|'", "tab")),
    ("bars between columns", F, b"time_utc|hs_m|tp_s\na|1|8\n", 1, "time_utc|hs_m|tp_s",
     ("one of time_utc",)),
]  # fmt: skip

SHAPE: list[Case] = [
    ("an empty file", S, b"", 1, None, ("no header line",)),
    ("blank lines only", R, b"\n \n\n", 1, None, ("no header line",)),
    ("comments only", R, b"# phase: lead\n# symmetric: yes\n", 1, None, ("no header line",)),
    ("an empty buoy file", B, b"\n", 1, None, ("nothing in it",)),
    ("a header only", S, STRING.splitlines()[0], 1, None, ("at least one row",)),
    ("a buoy header only", B, BUOY.splitlines()[0], 1, None, ("no records", "at least one")),
    ("rows without a header", S, STRING.split(b"\n", 1)[1], 1, "drill pipe", ("'drill pipe'", "one of name")),
    ("a row with a cell too many", S, swap(STRING, "931", "931,1"), 2, None, ("7", "6 cells", "line 1")),
    ("a row with a cell too few", S, swap(STRING, ",931", ""), 2, None, ("5", "6 cells")),
    ("a row cut short at the end", S, STRING[:-9], 3, None, ("6 cells",)),
    ("an open quote", S, swap(STRING, "Heavy", '"Heavy'), 3, None, ("quotes closed",)),
    ("text after a quote", S, swap(STRING, "Heavy weight", '"Heavy" weight'), 3, None, ("well-formed",)),
    ("a comment below the header", S, swap(STRING, "Heavy", "#Heavy"), 3, None, ("above the header",)),
    ("a column twice", S, b"name,od_mm,od_mm\na,1,1\n", 1, "od_mm", ("each name once",)),
    ("a column without a name", S, b"name,,od_mm\na,1,1\n", 1, None, ("column 2",)),
    ("a cell of a megabyte", S, swap(STRING, "Heavy", "H" * 190_000), 3, "name", ("at most 200",)),
    ("a thousand columns", F, b"hs_m," * 999 + b"tp_s\n1\n", 1, None, ("1000", "at most 400")),
    ("a file of quotes", F, b'"' * 1001, 1, None, ("well-formed",)),
    ("buoy rows of different lengths", B, swap(BUOY, "    3.00", ""), 3, None, ("3", "4, as many")),
    ("a buoy pair without its bracket", B, swap(REAL_TIME, "(0.090)", "0.090"), 2, None,
     ("'0.090'\u00a0Hz", "brackets")),
    ("a buoy row of half a pair", B, swap(REAL_TIME, " (0.100)", ""), 2, None, ("pairs",)),
]  # fmt: skip

NAMES: list[Case] = [
    ("an unknown unit", S, swap(STRING, "length_m", "length_km"), 1, "length_km", ("length_m or length_ft",)),
    ("a unit left out", F, b"time_utc,hs,tp_s\na,1,8\n", 1, "hs", ("'hs'", "hs_m or hs_ft")),
    ("an unknown angle unit", R, swap(RESPONSE, "heave_phase_deg", "heave_phase_grad"), 9, "heave_phase_grad",
     ("heave_phase_deg or heave_phase_rad",)),
    ("one quantity in two units", S, swap(STRING, "id_mm", "od_in"), 1, "od_in", ("od_mm gives it too",)),
    ("weight and mass both", S, swap(GRADED, "grade\na", "mass_kg_per_m,grade\na").replace(b"22,", b"22,33,"),
     1, "mass_kg_per_m", ("weight_lb_per_ft gives it too",)),
    ("rotations in two measures", R, swap(RESPONSE, "pitch_deg_per_m", "pitch_deg_per_deg"), 9,
     "pitch_deg_per_deg",
     ("the same measure as roll_deg_per_m",)),
    ("a column nobody knows", S, swap(STRING, "yield_mpa", "colour"), 1, "colour", ("one of name",)),
    ("a column missing", S, b"name,length_m\na,9\n", 1, None, ("no od", "od_mm or od_in")),
    ("neither yield nor grade", S, b"name,length_m,od_mm,id_mm,mass_kg_per_m\na,9,127,108,33\n", 1, None,
     ("neither", "yield_mpa")),
    ("both yield and grade", S, swap(GRADED, "\na", ",yield_mpa\na").replace(b"E-75", b"E-75,500"),
     1, None, ("both", "yield_mpa")),
    ("period and frequency both", R,
     swap(RESPONSE, "period", "frequency_hz,period").replace(b"\n8", b"\n1,8").replace(b"\n12", b"\n2,12"),
     9, None, ("period and frequency", "just one")),
    ("no period column", R, b"heading_deg,heave_m_per_m\n0,1\n", 1, None, ("column",)),
    ("a buoy header of something else", B, b"date hs tp\n1 2 3\n", 1, None,
     ("'date hs tp'", "#YY MM DD hh mm")),
    ("a buoy header without bands", B, b"#YY MM DD hh mm\n2026 01 01 00 00\n", 1, None,
     ("band frequencies",)),
]  # fmt: skip

ORDER: list[Case] = [
    ("one row", R, b"\n".join(RESPONSE.splitlines()[:10]), 10, None, ("1", "at least 2 periods")),
    ("one period", R, b"\n".join(RESPONSE.splitlines()[:13]), 10, None, ("at least 2 periods",)),
    ("a period twice", R, RESPONSE + b"12,180,0.6,5,0,0,0.4,-90\n", 18, None,
     ("period 12\u00a0s", "line 17 has it too")),
    ("a period missing at one heading", R, RESPONSE.rsplit(b"\n", 2)[0], 16, None,
     ("12\u00a0s, heading 180", "2 × 4")),
    ("a heading beyond the circle", R, swap(RESPONSE, "12,180", "12,370"), 17, "heading_deg",
     ("'370'\u00a0deg", "0 to 360")),
    ("a heading below nothing", R, swap(RESPONSE, "12,180", "12,-10"), 17, "heading_deg",
     ("'-10'\u00a0deg", "0 to 360")),
    ("a heading beyond a symmetric half", R, swap(RESPONSE, "12,180", "12,190"), 17, "heading_deg",
     ("190", "0 to 180, as the table is symmetric")),
    ("a full circle closed twice", R,
     swap(RESPONSE, "12,180", "12,360").replace(b"symmetric: yes", b"symmetric: no"),
     17, "heading_deg", ("360", "below 360")),
    ("headings too far apart", R,
     RESPONSE.replace(b"\n8,60", b"\n8,10").replace(b"\n12,60", b"\n12,10"), None, None,
     ("headings", "at most 60 deg apart")),
    ("a period of nothing", R, swap(RESPONSE, "\n12,0", "\n0,0"), 14, "period_s", ("'0'\u00a0s", "from 0.500")),
    ("a negative amplitude", R, swap(RESPONSE, "0.6", "-0.6"), 14, "heave_m_per_m",
     ("'-0.6'", "from 0 to 10")),
    ("degrees headed radians", R,
     RESPONSE.replace(b"deg_per_m", b"rad_per_m").replace(b"0.4,-90", b"0.9,-90"),
     14, "pitch_rad_per_m", ("0.9\u00a0rad/m", "at most 0.35")),
    ("a direction past the compass", F, b"time_utc,hs_m,tp_s,direction_from_deg\na,1,8,361\n", 2,
     "direction_from_deg", ("'361'\u00a0deg", "0 to 360")),
    ("one time twice", B, BUOY + BUOY.splitlines()[2], 4, None, ("2026 02 01 01 50", "line 3 has it too")),
    ("a day that is not", B, swap(BUOY, "02 01 00", "02 30 00"), 2, None, ("2026 02 30", "UTC")),
    ("an hour that is not", B, swap(BUOY, "01 00 50", "01 24 50"), 2, None, ("24 50", "UTC")),
    ("two digits of a year that may be two", B, swap(BUOY, "2026 02 01 00", "26 02 01 00"), 2, None,
     ("70 to 99",)),
    ("bands out of order", B, swap(BUOY, ".0900", ".1050"), 1, None, ("0.1\u00a0Hz", "ascending")),
    ("bands that do not meet", B, swap(BUOY, ".1100", ".1900"), 1, None, ("side by side",)),
]  # fmt: skip

CONVENTIONS: list[Case] = [
    ("a version of the future", R, swap(RESPONSE, "table 1", "table 2"), 1, None,
     ("table 2", "heave-response-table 1")),
    ("a format of another sort", R, swap(RESPONSE, "heave-response-table 1", "other 1"), 1, None,
     ("'other 1'",)),
    ("a phase that is no convention", R, swap(RESPONSE, "phase: lead", "phase: leading"), 2, None,
     ("lead or lag",)),
    ("a symmetry that is no answer", R, swap(RESPONSE, "symmetric: yes", "symmetric: 1"), 4, None,
     ("yes or no",)),
    ("a setting twice", R, b"# phase: lag\n" + RESPONSE, 3, None, ("'phase'", "line 1 has it too")),
    ("a reference point that is no number", R, swap(RESPONSE, "x_m: 0", "x_m: mid"), 5, None,
     ("'mid'", "finite")),
    ("a phase not stated", R, swap(RESPONSE, "# phase: lead\n", ""), None, None, ("lead or a lag",)),
    ("rotation against its header", R, swap(RESPONSE, "wave_amplitude", "wave_slope"), 3, None,
     ("wave_amplitude",)),
    ("a plan of the future", J, swap(JSON, '"version": 1', '"version": 2'), None, "version",
     ("2", "version 1")),
    ("a plan without a version", J, swap(JSON, '"version": 1,', ""), None, "version", ("None", "version 1")),
    ("a document of another sort", J, swap(JSON, '"f"', '"g"'), None, "format", ("'g'", "'f'")),
    ("a list for a document", J, b"[1]", 1, None, ("list", "an object")),
]  # fmt: skip

ENCODING: list[Case] = [
    ("UTF-16 with its mark", S, STRING.decode().encode("utf-16"), 1, None, ("UTF-16", "UTF-8")),
    ("UTF-16 without a mark", S, STRING.decode().encode("utf-16-le"), 1, None, ("NUL", "UTF-16")),
    ("UTF-32", B, BUOY.decode().encode("utf-32"), 1, None, ("UTF-32", "UTF-8")),
    ("UTF-16 JSON", J, JSON.decode().encode("utf-16-be"), 1, None, ("NUL",)),
    ("Latin-1", S, "name,length_m\nGestänge,9\n".encode("latin-1"), 2, None, ("0xe4", "UTF-8")),
    ("Windows quotes", R, RESPONSE.replace(b"invented", b"\x93it\x94"), 8, None, ("0x93", "UTF-8")),
    ("a NUL byte", S, STRING.replace(b"Heavy", b"He\x00vy"), 3, None, ("NUL",)),
    ("an escape character", S, STRING.replace(b"Heavy", b"\x1b[1m"), 3, None, ("U+001B", "printable")),
    ("a second byte-order mark", S, b"\xef\xbb\xbf\xef\xbb\xbf" + STRING, 1, None, ("U+FEFF", "printable")),
    ("a right-to-left override", S, swap(STRING, "Heavy", "\u202eHeavy"), 3, "name", ("printable",)),
    ("a workbook", F, b"PK\x03\x04\x14\x00\x06\x00" + bytes(100), 1, None, ("workbook", "CSV")),
    ("an old workbook", R, b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(100), 1, None, ("workbook", "CSV")),
    ("a document page", B, b"%PDF-1.7\n", 1, None, ("PDF", "CSV")),
    ("random bytes", B, bytes(range(254, 0, -1)), 1, None, ("0xfe", "UTF-8")),
    ("an overlong form", S, STRING.replace(b"Heavy", b"\xc0\xafvy"), 3, None, ("0xc0", "UTF-8")),
]  # fmt: skip

JSONS: list[Case] = [
    ("deep lists", J, b"[" * 100_000, 1, None, ("33", "at most 32 levels")),
    ("deep objects", J, b'{"a":' * 50_000 + b"1" + b"}" * 50_000, 1, None, ("at most 32 levels",)),
    ("a number of a million digits", J, b'{"a": ' + b"7" * 1_000_000 + b"}", None, "a",
     ("at most 40 characters",)),
    ("a number past all", J, b'{"a": [1, 1e400]}', None, "a[1]", ("'1e400'", "finite")),
    ("a key twice", J, swap(JSON, '"b": [1, 2.5]', '"b": 1, "b": 2'), None, "a.b", ("each key once",)),
    ("NaN in JSON", J, swap(JSON, "2.5", "NaN"), None, "a.b[1]", ("'NaN'", "finite")),
    ("JSON with a comment", J, b'{"a": 1 // b\n}', 1, None, ("// b", "well-formed")),
    ("JSON and more", J, JSON + b"\n{}", 2, None, ("'{}'", "Extra data")),
    ("JSON cut short", J, JSON[:-2], 1, None, ("end of the file", "well-formed")),
    ("nothing", J, b"", 1, None, ("nothing in it",)),
]  # fmt: skip

CATALOGUE = [*NUMBERS, *COMMAS, *SHAPE, *NAMES, *ORDER, *CONVENTIONS, *ENCODING, *JSONS]


@pytest.mark.parametrize("case", CATALOGUE, ids=[case[0].replace(" ", "_") for case in CATALOGUE])
def test_refused_with_place_value_and_what_is_allowed(case: Case, tmp_path: Path) -> None:
    _, reader, data, line, column, words = case
    path = tmp_path / "file"
    path.write_bytes(data)
    messages = []
    for source in (data, path):
        with pytest.raises(FileError) as caught:
            reader(source)
        messages.append(str(caught.value))
        assert (caught.value.line, caught.value.column) == (line, column), str(caught.value)
        assert caught.value.allowed
    message = messages[0]
    assert messages[1] == message
    assert "allowed: " in message
    assert line is None or f"line {line}" in message
    assert column is None or f"column {column}" in message
    assert [word for word in words if word not in message] == [], message


def test_the_catalogue_is_large_and_each_case_its_own() -> None:
    names = [case[0] for case in CATALOGUE]
    assert len(set(names)) == len(names) >= 100


@pytest.mark.parametrize(
    ("reader", "data"), [(S, STRING), (R, RESPONSE), (B, BUOY), (B, REAL_TIME), (J, JSON)]
)
def test_the_files_the_catalogue_spoils_are_good(reader: Reader, data: bytes) -> None:
    plain = reader(data)
    assert reader(b"\xef\xbb\xbf" + data) == plain
    assert reader(data.replace(b"\n", b"\r\n")) == plain


@pytest.mark.parametrize("reader", [S, R, B, J, F])
def test_a_file_of_100_mb_is_refused_at_once(reader: Reader, tmp_path: Path) -> None:
    path = tmp_path / "large"
    with path.open("wb") as stream:
        stream.truncate(100_000_000)
    start = thread_time()
    with pytest.raises(FileError, match=r"100000000\u00a0bytes .*at most"):
        reader(path)
    assert thread_time() - start < 0.5


@pytest.mark.parametrize("data", [bytes(100_000_001)], ids=["100 MB of bytes"])
def test_an_upload_of_100_mb_is_refused_too(data: bytes) -> None:
    with pytest.raises(FileError, match=r"100000001\u00a0bytes .*at most"):
        read_table(data)


def test_the_table_in_every_dialect_reads_the_same() -> None:
    """Commas; semicolons with decimal commas, a mark and a sep= line; tabs; quotes throughout; capitals."""
    plain = read_string(STRING)
    swapped = STRING.decode().replace(",", ";").replace(".", ",")
    assert read_string(swapped.encode()) == plain
    assert read_string(("\ufeffsep=;\r\n" + swapped.replace("\n", "\r\n")).encode()) == plain
    assert read_string(swapped.replace(";", "\t").encode()) == plain
    quoted = "\n".join(
        ",".join(f'"{cell}"' for cell in row.split(",")) for row in STRING.decode().splitlines()
    )
    assert read_string(quoted.encode()) == plain
    assert (
        read_string(
            STRING.upper().replace(b"DRILL PIPE", b"Drill pipe").replace(b"HEAVY WEIGHT", b"Heavy weight")
        )
        == plain
    )


@pytest.mark.parametrize("kind", [[], {}, 3, None, True])
def test_a_class_named_by_what_is_no_name_is_refused(kind: Any) -> None:
    for path in (("compensator",), ("string",), ("vessel", "response"), ("operation",)):
        document = json.loads(plan_to_json(heave.demo_plan()))
        inner = document["plan"]
        for key in path:
            inner = inner[key]
        inner["type"] = kind
        with pytest.raises(FileError, match=rf"plan\.{path[0]}.*type"):
            heave.read_plan(json.dumps(document).encode())
