"""CSV files as spreadsheets write them: every combination of separator, decimal sign and encoding is read correctly."""

import json
from pathlib import Path

import pytest

from helpers.command import splitline
from helpers.examples import reading, source
from server.commands.test_intake import flat, table, take

VISITS = [["a", f"2026-0{month}-05T10:00:00Z", f"{74 + month / 8}", "1.8", "b"] for month in range(1, 10)]
HEADER = ["source", "sampled_at", "content", "expanded_uncertainty", "contributor"]
WAYS = {
    "commas": (",", ".", "utf-8"),
    "commas, BOM": (",", ".", "utf-8-sig"),
    "semicolons": (";", ".", "utf-8"),
    "semicolons, decimal commas": (";", ",", "utf-8"),
    "semicolons, decimal commas, BOM": (";", ",", "utf-8-sig"),
    "tabs": ("\t", ".", "utf-8"),
    "tabs, decimal commas, UTF-16": ("\t", ",", "utf-16"),
}


def written(path: Path, rows: list[list[str]], way: str) -> Path:
    separator, sign, encoding = WAYS[way]
    lines = [separator.join(cell.replace(".", sign) if is_number(cell) else cell for cell in row) for row in rows]
    path.write_bytes("".join(f"{line}\r\n" for line in lines).encode(encoding))
    return path


def is_number(cell: str) -> bool:
    return cell.replace(".", "", 1).isdecimal()


def said(*arguments: str) -> str:
    """The sentence about a file that cannot be used."""
    ran = splitline(*arguments)
    assert (ran.returncode, ran.stdout, ran.stderr.count("\n")) == (2, "", 1), ran
    return ran.stderr


@pytest.mark.parametrize("way", WAYS)
def test_steadiness_is_the_same_in_every_csv_dialect(tmp_path: Path, way: str) -> None:
    usual = splitline("steadiness", str(written(tmp_path / "usual", [HEADER, *VISITS], "commas")), "--json")
    ran = splitline("steadiness", str(written(tmp_path / "file", [HEADER, *VISITS], way)), "--json")
    assert (ran.returncode, ran.stdout) == (0, usual.stdout)
    assert json.loads(ran.stdout)[0]["visits"] == 9


@pytest.mark.parametrize("way", WAYS)
def test_runs_are_the_same_in_every_csv_dialect(tmp_path: Path, way: str) -> None:
    runs = [["water", "fuel", "line"], ["50.0", "50.0", "88.8"], ["50.0", "50.0", "89.1"]]
    ran = splitline("content", "--runs", str(written(tmp_path / "file", runs, way)), "--json")
    given = "--water 50 --fuel 50 --line 88.8 --line 89.1"
    assert (ran.returncode, ran.stdout) == (0, splitline("content", *given.split(), "--json").stdout)


@pytest.mark.parametrize("way", WAYS)
def test_records_are_the_same_in_every_csv_dialect(tmp_path: Path, way: str) -> None:
    """Text keeps its commas and points: the note is "12.5", the station's name "7,5"."""
    records = [source(1, name="7,5"), reading(1, at=1, note="12.5")]
    usual, answers = take(tmp_path, table(tmp_path / "usual", records), "--secret-file", str(mine(tmp_path)))
    assert (usual.returncode, [one["status"] for one in answers]) == (0, ["stored", "stored"])
    cells = [flat(record) for record in records]
    names = list(dict.fromkeys(name for row in cells for name in row))
    separator, sign, encoding = WAYS[way]
    rows = [names, *([cell(row.get(name, ""), separator, sign) for name in names] for row in cells)]
    file = tmp_path / "file"
    file.write_bytes("".join(separator.join(row) + "\n" for row in rows).encode(encoding))
    ran, again = take(tmp_path, file, "--secret-file", str(mine(tmp_path)))
    # "known" means: the stored records are identical to the last digit.
    assert (ran.returncode, [one["status"] for one in again]) == (0, ["known", "known"]), ran.stderr


def cell(value: object, separator: str, sign: str) -> str:
    text = str(value).replace(".", sign) if isinstance(value, float) else str(value)
    return f'"{text}"' if separator in text else text


def mine(folder: Path) -> Path:
    path = folder / "mine"
    path.write_text("1a" * 32 + "\n")
    return path


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("source;sampled_at,content\na;b,c\n", "could be separated by commas and semicolons"),
        ("{header}\na;2026-01-05;74,5;1.8;b\n", "a decimal point (row 2) and a decimal comma (row 2)"),
        (
            "{header}\na;2026-01-05;74.5;1.8;b\n\na;2026-02-05;74,5;2;b\n",
            "a decimal point (row 2) and a decimal comma (row 4)",
        ),
        ("{header}\na;2026-01-05;1.074,5;1;b\n", "row 2, content is 1.074,5, which is not a number"),
        ("{commas}\na,2026-01-05,74,5,1,8,b\n", "Row 2 has 7 cells, the header 5"),
        ('{commas}\na,2026-01-05,"74,512",2,b\n', "74,512 in "),
        ("{header};content\na;2026-01-05;74;2;b;75\n", "The column content appears twice"),
        ("source;content\na;74,5\n", "The column sampled_at is missing"),
        ("", "The column source is missing"),
        ('{commas}\na,2026-01-05,"74,2,b\n', "not a UTF-8 CSV file"),
    ],
)
def test_an_ambiguous_file_is_refused(tmp_path: Path, text: str, words: str) -> None:
    file = tmp_path / "file"
    file.write_text(text.format(header=";".join(HEADER), commas=",".join(HEADER)))
    assert words in said("steadiness", str(file))


def test_an_odd_but_unambiguous_file_is_read(tmp_path: Path) -> None:
    """A comma in a column name, quoted decimal commas, empty rows and trailing cells."""
    file = tmp_path / "file"
    rows = [[*row[:2], f'"{row[2].replace(".", ",")}"', '"1,8"', row[4]] for row in VISITS]
    file.write_text("\n".join([",".join(HEADER), *(",".join(row) + ",," for row in rows), ",,,,", ""]))
    other = tmp_path / "other"
    header = "; ".join(HEADER) + ";remark, if any"
    other.write_text("\n".join(["", header, *(";".join(row).replace(".", ",") + ";" for row in VISITS), ";;;;;"]))
    usual = written(tmp_path / "usual", [HEADER, *VISITS], "commas")
    one, two, three = (splitline("steadiness", str(path), "--json") for path in (file, other, usual))
    assert one.stdout == two.stdout == three.stdout, one.stderr + two.stderr
    assert len(json.loads(three.stdout)) == 1
