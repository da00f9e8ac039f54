"""A file of a person's own is read in a time that grows with its length, and whatever it holds, the error is one."""

import os
import time

import pytest

from coursekit import datasheet, keeping, measured, repair, tomlfile
from coursekit.quantities import InputError
from coursekit.tomlfile import LARGEST_FILE, Document
from tests.calls import refused

N = LARGEST_FILE - 100
READERS = {
    "recipe": repair.loads,
    "data sheet": datasheet.read,
    "garage file": lambda text: measured._entries(text, "garage.toml"),
}


def long(piece, length=N):
    return (piece * (length // len(piece) + 1))[:length]


LONG = {
    "spaces": " " * N,
    "spaces behind a bracket": "[" + " " * N,
    "spaces behind a key": "a" + " " * N,
    "short lines of spaces": long("[" + " " * 3000 + "\n"),
    "parts of a key": long("a.") + "a = 1",
    "parts of a table": "[" + long("a.") + "a]",
    "quoted parts": long('"a".') + "a = 1",
    "quoted parts of a table": "[" + long('"a".') + "a]",
    "parts in a table on one line": "x = {" + long("a.") + "a = 1}",
    "tables": "".join(f"[a.b.c.d{n}]\n" for n in range(N // 20)),
    "lists in each other": "x = " + "[" * (N - 4),
    "lists in each other, closed": "x = " + "[" * 300 + "]" * 300,
    "tables in each other": "x = " + long("{a = "),
    "digits": "x = " + "9" * (N - 4),
    "digits to the base of 16": "format = 0x" + "f" * (N - 20),
    "a long word": "a" * (N - 4) + " = 1",
    "quotes": long("\"'"),
    "lines": "\n" * N,
    "steps": "format = 2\n" + long("[[step]]\n"),
    "measurements": "format = 1\n" + long("[[measurement]]\n"),
    "too long": "#" * (LARGEST_FILE + 1),
}


@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize("case", LONG)
def test_long_and_odd_files_are_refused_in_a_second(case, reader):
    began = time.perf_counter()
    with pytest.raises(InputError) as refusal:
        READERS[reader](LONG[case])
    assert time.perf_counter() - began < 5, "seconds on a busy machine; minutes to hours before"
    assert len(str(refusal.value)) < 1000


def test_lines_are_named():
    text = (
        '# a.b.c.d.e.f.g.h.i.j = 3\ntop = "a.b.c.d.e.f.g.h.i.j.k=1"\n[one . "two"] # there\nkey = "x=y"\n'
        "[[row]]\na.b = 1\n[[ row ]]\n'q' = [\n[0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9],\n]\n"
    )
    document = Document(text, "x.toml")
    assert [
        document.line(where)
        for where in [
            ("top",),
            ("one", "two"),
            ("one", "two", "key"),
            ("row", 0, "a", "b"),
            ("row", 1),
            ("row", 1, "q"),
        ]
    ] == [2, 3, 4, 6, 7, 8]


@pytest.mark.parametrize(
    "date",
    [
        "2026-05-30T07:00:00+23:59",
        "0001-01-01T00:00:00+14:00",
        "2026-05-30T07:00:00",
        "9999-12-31",
        "1979-05-27T00:32:00.999999-07:00",
    ],
)
def test_dates_of_any_zone_are_read(tmp_path, date):
    file = tmp_path / "garage.toml"
    file.write_text(f'format = 1\n[[measurement]]\nway = "force"\ndate = {date}\nscale = "2 kg"\n')
    mine = measured.load(file)
    mine.enter("force", scale="2.2 kg")
    assert len(measured.load(file).entries) == 2 and mine.coefficient("hand_force").kind == "measured by you"


@pytest.mark.parametrize(
    "date",
    ["2026-05-30T07:00:00+24:00", "2026-05-30T07:00:00+01:02:03", "2026-02-30", "07:00:00", "2026-05-30T07:00:60Z"],
)
def test_dates_that_cannot_be_are_refused(tmp_path, date):
    file = tmp_path / "garage.toml"
    file.write_text(f'format = 1\n[[measurement]]\nway = "force"\ndate = {date}\nscale = "2 kg"\n')
    with pytest.raises(InputError):
        measured.load(file)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no such files here")
@pytest.mark.parametrize("read", [tomlfile.load, repair.load, datasheet.load, measured.load, keeping.read_text])
def test_what_is_no_ordinary_file_is_refused_at_once(tmp_path, read):
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "link").symlink_to(tmp_path / "pipe")
    for path in (tmp_path / "pipe", tmp_path / "link", "/dev/zero", tmp_path, "a\0b", "x" * 5000):
        with refused("file"):
            read(path)
    (tmp_path / "long").write_bytes(b"x" * (keeping.LARGEST + 1))
    with refused("too long"):
        read(tmp_path / "long")


@pytest.mark.parametrize("scale", ["0 kg", "1e-9 kg", "1e9 kg"])
def test_a_reading_that_comes_to_nothing_is_refused(tmp_path, scale):
    mine = measured.load(tmp_path / "garage.toml")
    with pytest.raises(InputError):
        mine.enter("force", scale=scale)
    assert not mine.path.exists()


def test_a_panel_at_the_temperature_of_the_air_is_refused(tmp_path):
    mine = measured.load(tmp_path / "garage.toml")
    for before, air in (("10 °C", "10 °C"), (["10 °C", "20 °C"], ["20 °C", "20 °C"])):
        with pytest.raises(InputError):
            mine.enter("panel_lag", panel_before=before, panel_after="15 °C", air=air, time="20 min")
