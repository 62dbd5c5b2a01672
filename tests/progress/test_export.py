"""Export: nothing lost in JSON Lines, nothing dangerous in CSV, nothing half-written."""

import csv
import json
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.progress.made_up import START, attempt
from trainer.practice.attempt import Attempt
from trainer.progress.export import (
    FIELDS,
    FORMULA_STARTS,
    export_attempts,
    plain_text,
    read_jsonl,
    read_lines,
    safe_cell,
    write_jsonl,
)
from trainer.progress.records import record_of
from trainer.progress.rows import MAPPINGS, TEXTS
from trainer.refusal import Refused

NAMES = ("Heron", "مالك الحزين", "青鷺", "Curlew 🐦‍⬛", 'Dun"lin, the\nsecond', "e\u0301")


def made() -> list[Attempt]:
    return [attempt(number, learner=name) for number, name in enumerate(NAMES, 1)]


def rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def test_json_lines_come_back_equal_in_every_script(tmp_path: Path) -> None:
    path = tmp_path / "all.jsonl"
    assert export_attempts(made(), path) == len(NAMES)
    assert list(read_jsonl(path)) == made()


def test_json_lines_are_plain_for_other_programs(tmp_path: Path) -> None:
    """RFC 8259: UTF-8 without a byte order mark; ISO 8601: the time with its zone."""
    export_attempts(made(), tmp_path / "all.jsonl")
    raw = (tmp_path / "all.jsonl").read_bytes()
    asked, first = map(json.loads, raw.splitlines()[:2])
    assert raw.startswith(b"{")
    assert first["at"] == "2031-02-03T18:00:00+00:00"
    assert first["evidence"][0]["bands"] == [[1000.0, 1.0]]
    assert first["told"] == [{"band": [1000.0, 1000.0, []], "direction": ["boost", "boost", []]}]
    assert asked["asked"]["digest"] == first["question"]
    assert asked["asked"]["fields"][1] == {"key": "direction", "options": ["boost", "cut"]}
    assert set(first) == (set(Attempt.__dataclass_fields__) - {"asked"}) | {"told", "question"}


def test_what_was_on_offer_stands_once_for_all_attempts_at_it(tmp_path: Path) -> None:
    export_attempts([attempt(number) for number in range(1, 40)], tmp_path / "all.jsonl")
    lines = (tmp_path / "all.jsonl").read_text(encoding="utf-8").splitlines()
    assert sum(line.startswith('{"asked"') for line in lines) == 1
    assert len(lines) == 40


def test_an_attempt_whose_question_is_not_there_is_told(tmp_path: Path) -> None:
    export_attempts([attempt()], tmp_path / "all.jsonl")
    _, line = (tmp_path / "all.jsonl").read_text(encoding="utf-8").splitlines()
    (tmp_path / "cut.jsonl").write_text(line, encoding="utf-8")
    with pytest.raises(Refused, match="line 1 is no attempt: it has no"):
        list(read_jsonl(tmp_path / "cut.jsonl"))


def test_csv_holds_every_attempt_and_names_in_every_script(tmp_path: Path) -> None:
    """RFC 4180, read back by Python's own reader; the mark at the front is UTF-8's."""
    path = tmp_path / "all.csv"
    assert export_attempts(made(), path) == len(NAMES)
    assert path.read_bytes().startswith(b"\xef\xbb\xbfuid,at,")
    assert tuple(row["learner"] for row in rows(path)) == NAMES
    assert set(rows(path)[0]) == set(FIELDS)
    assert float(rows(path)[0]["size"]) == 6.5


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r"])
def test_a_cell_no_spreadsheet_runs(start: str, tmp_path: Path) -> None:
    """OWASP, CSV injection: the six characters a formula or a hidden one can begin with."""
    name = f'{start}HYPERLINK("there")'
    export_attempts([attempt(1, learner=name)], tmp_path / "all.csv")
    assert rows(tmp_path / "all.csv")[0]["learner"] == f"'{name}"


@pytest.mark.parametrize("column", TEXTS)
@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠", "'="])
def test_no_column_of_text_begins_a_formula(start: str, column: str, tmp_path: Path) -> None:
    """OWASP, CSV injection; every column of text an attempt has, whoever can write into it."""
    export_attempts([attempt(1, **{column: f"{start}1+1"})], tmp_path / "all.csv")
    (row,) = rows(tmp_path / "all.csv")
    assert not any(
        cell.lstrip().startswith(("=", "+", "-", "@", "＝", "＋", "－", "＠")) for cell in row.values()
    )
    assert row[column] == f"'{start}1+1"
    assert plain_text(row[column]) == f"{start}1+1"


@pytest.mark.parametrize("value", ["=1+1", "@a", "\tx", "tide"])
def test_answers_and_options_stand_inside_json_and_begin_no_formula(value: str, tmp_path: Path) -> None:
    export_attempts(
        [attempt(1, right_answer={value: value}, options={value: (value,)})], tmp_path / "all.csv"
    )
    (row,) = rows(tmp_path / "all.csv")
    assert json.loads(row["right_answer"]) == {value: value}
    assert all(row[column].startswith(("{", "[")) for column in MAPPINGS)


@given(st.text(st.sampled_from("'=+-@\t\r\n\0＝ aé,;\""), max_size=6))
def test_a_cell_made_safe_comes_back(text: str) -> None:
    """Law: what was made safe begins no formula, and is taken back to the same text."""
    assert not safe_cell(text).startswith(FORMULA_STARTS)
    assert plain_text(safe_cell(text)) == text


@pytest.mark.skipif(shutil.which("soffice") is None, reason="LibreOffice is not installed")
def test_libreoffice_reads_text_and_runs_nothing(tmp_path: Path) -> None:
    """LibreOffice Calc, without a screen: the file opened and saved again holds the text, not what it would come to."""
    export_attempts([attempt(1, learner="=1+1", show="青鷺", target="-2+5")], tmp_path / "all.csv")
    command = ["soffice", "--headless", f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}"]
    utf_8 = "44,34,76,1,,0,false,true"  # what is asked when such a file is opened: commas, quotes, UTF-8
    command += ["--infilter=CSV:" + utf_8, "--convert-to", f"csv:Text - txt - csv (StarCalc):{utf_8}"]
    command += ["--outdir", str(tmp_path / "out"), str(tmp_path / "all.csv")]
    subprocess.run(command, check=True, timeout=120)
    (row,) = rows(tmp_path / "out" / "all.csv")
    assert [plain_text(row[column]) for column in ("learner", "show", "target")] == ["=1+1", "青鷺", "-2+5"]


def test_records_stand_behind_the_attempts_and_come_back(tmp_path: Path) -> None:
    records = [record_of("member", "青鷺", {"name": "Heron 🐦", "since": None, "n": 0.1}, at=START)]
    path = tmp_path / "all.jsonl"
    assert write_jsonl(made(), path, records) == len(NAMES)
    assert list(read_lines(path)) == [*made(), *records]
    assert list(read_jsonl(path)) == made()
    last = json.loads(path.read_text(encoding="utf-8").splitlines()[-1])
    assert last["record"]["at"] == "2031-02-03T18:00:00+00:00"


def test_numbers_below_zero_stay_numbers() -> None:
    assert safe_cell(-3.5) == "-3.5"
    assert safe_cell("3.5") == "3.5"


def test_an_export_that_fails_leaves_the_old_file_and_nothing_else(tmp_path: Path) -> None:
    def breaking() -> Iterator[Attempt]:
        yield attempt(1)
        raise RuntimeError("the tide came in")

    for name in ("all.csv", "all.jsonl"):
        (tmp_path / name).write_text("as it was", encoding="utf-8")
        with pytest.raises(RuntimeError, match="tide"):
            export_attempts(breaking(), tmp_path / name)
        assert (tmp_path / name).read_text(encoding="utf-8") == "as it was"
    assert sorted(file.name for file in tmp_path.iterdir()) == ["all.csv", "all.jsonl"]


def test_an_unknown_ending_and_a_missing_folder_are_told(tmp_path: Path) -> None:
    with pytest.raises(Refused, match=r"ends in \.csv or \.jsonl, not 'all\.xlsx'"):
        export_attempts(made(), tmp_path / "all.xlsx")
    with pytest.raises(Refused, match="cannot be written: No such file"):
        export_attempts(made(), tmp_path / "nowhere" / "all.csv")


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("{", "line 1 is no attempt"),
        ("[1]", "line 1 is no attempt"),
        ("null", "line 1 is no attempt"),
        ('{"uid": "1"}', "line 1 is no attempt: it has no 'at'"),
    ],
)
def test_a_line_that_is_no_attempt_is_told_by_its_number(line: str, told: str, tmp_path: Path) -> None:
    (tmp_path / "odd.jsonl").write_text(line + "\n", encoding="utf-8")
    with pytest.raises(Refused, match=told):
        list(read_jsonl(tmp_path / "odd.jsonl"))


def test_a_changed_value_that_cannot_be_is_told(tmp_path: Path) -> None:
    path = tmp_path / "all.jsonl"
    export_attempts([attempt(1), attempt(2)], path)
    lines = path.read_text(encoding="utf-8").replace("[1000.0, 1.0]", "[1000.0, 0.25]").splitlines()
    path.write_text("\n".join(lines), encoding="utf-8")
    with pytest.raises(Refused, match="line 2 is no attempt: evidence needs weights"):
        list(read_jsonl(path))


def test_files_that_cannot_be_read_are_told(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="cannot be read"):
        list(read_jsonl(tmp_path / "missing.jsonl"))
    (tmp_path / "old.jsonl").write_bytes('{"learner": "Brachvögel"}'.encode("latin-1"))
    with pytest.raises(Refused, match="not UTF-8"):
        list(read_jsonl(tmp_path / "old.jsonl"))


def test_the_made_up_attempts_are_what_the_store_takes() -> None:
    assert all(one.at == START for one in made())
