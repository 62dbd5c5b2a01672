"""Packs: what is in them can be heard, and nothing but the sound tells an answer."""

import csv
import json
import zipfile
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numpy.random import default_rng

from tests.listener import hear_tone
from tests.noise_show import NoiseShow
from tests.season.quizzes import EXERCISES, MADE_AT, TAKEN_AT, quiz_of
from trainer.dsp.loudness import integrated_loudness_lufs, true_peak_dbtp
from trainer.practice.deal import Rep, deal
from trainer.practice.exercise import Focus
from trainer.practice.rep_code import RepSpec
from trainer.progress.store import open_store
from trainer.refusal import Refused
from trainer.season.answer_files import Returned, attempts_of, read_answers, write_answers
from trainer.season.answer_tables import read_table
from trainer.season.class_pack import LONG_FILE, TABLE, write_class_pack, write_key
from trainer.season.quiz import Quiz, keep_quiz, quiz_named, quizzes_of
from trainer.season.quiz_audio import dithered, pips
from trainer.season.quiz_marking import score_of, sheets_of
from trainer.season.sealed_pack import open_pack, write_sealed_pack
from trainer.sound import RATE_HZ, Sound
from trainer.sound_files import read_sound

TONE = EXERCISES["octave-tone"]
BANDS_HZ = (250.0, 1000.0, 4000.0, 31.5, 16000.0, 125.0)
OTHERS_HZ = (500.0, 8000.0, 63.0, 2000.0, 1000.0, 250.0)


def reps_of(bands_hz: tuple[float, ...], *, first: int = 1) -> tuple[Rep, ...]:
    """Return reps of the same excerpts, whatever the bands and ways."""
    foci = [
        Focus(6.0, "mix", band_hz, (1, -1)[(number + first) % 2]) for number, band_hz in enumerate(bands_hz)
    ]
    return tuple(
        deal(RepSpec(TONE.key, "noise", n % 3, focus), TONE, NoiseShow()) for n, focus in enumerate(foci)
    )


@pytest.fixture(scope="module")
def reps() -> tuple[Rep, ...]:
    return reps_of(BANDS_HZ)


@pytest.fixture(scope="module")
def quiz(reps: tuple[Rep, ...]) -> Quiz:
    return quiz_of(reps)


@pytest.fixture(scope="module")
def pack(tmp_path_factory: pytest.TempPathFactory, quiz: Quiz, reps: tuple[Rep, ...]) -> Path:
    path = tmp_path_factory.mktemp("sealed") / "week-3.zip"
    write_sealed_pack(quiz, reps, path)
    return path


def test_a_listener_with_nothing_but_the_pack_answers_it_and_staff_mark_it(
    pack: Path, quiz: Quiz, tmp_path: Path
) -> None:
    """The listener of tests/listener.py reads sound only; what it writes goes the way of a student's file."""
    opened = open_pack(pack)
    answers = {}
    for item in opened.items:
        heard = hear_tone(*opened.versions(item))
        assert heard is not None
        answers[item.number] = {"band": heard.band_hz, "direction": heard.direction}
    file = tmp_path / "answers.json"
    write_answers(
        file, quiz=opened.quiz, sitting="1" * 32, learner="Heron", begun_at=TAKEN_AT, answers=answers
    )
    (sheet,) = sheets_of(attempts_of(quiz, read_answers(quiz, file), EXERCISES))
    assert score_of(quiz, sheet) >= 0.9


def test_two_quizzes_on_the_same_excerpts_differ_in_nothing_but_the_samples(
    quiz: Quiz, reps: tuple[Rep, ...], tmp_path: Path
) -> None:
    """All of a pack but the sound is the same, to the byte, for other bands, other ways and other sizes."""
    others = reps_of(OTHERS_HZ, first=0)
    packs = []
    for name, made in (("one.zip", reps), ("two.zip", others)):
        write_sealed_pack(replace(quiz_of(made), uid=quiz.uid), made, tmp_path / name)
        packs.append(zipfile.ZipFile(tmp_path / name))
    one, two = packs
    assert [entry.filename for entry in one.infolist()] == [entry.filename for entry in two.infolist()]
    for mine, theirs in zip(one.infolist(), two.infolist(), strict=True):
        facts = (
            "file_size",
            "compress_size",
            "date_time",
            "comment",
            "extra",
            "external_attr",
            "header_offset",
        )
        assert [getattr(mine, fact) for fact in facts] == [getattr(theirs, fact) for fact in facts]
        if mine.filename.endswith(".wav"):
            assert one.read(mine)[:44] == two.read(theirs)[:44]
            assert one.read(mine) != two.read(theirs)
        else:
            assert one.read(mine) == two.read(theirs)
    for archive in packs:
        archive.close()


def test_plain_and_changed_of_a_pack_are_equally_loud_and_below_the_ceiling(pack: Path) -> None:
    """BS.1770 loudness within 0.1 LU of each other at -23 LUFS (EBU R 128), true peaks below -1 dBTP."""
    opened = open_pack(pack)
    for item in opened.items:
        loudness = [integrated_loudness_lufs(sound) for sound in opened.versions(item)]
        assert loudness[0] == pytest.approx(loudness[1], abs=0.1)
        assert loudness[0] == pytest.approx(-23.0, abs=0.5)
        assert max(map(true_peak_dbtp, opened.versions(item))) < -1.0


def test_a_pack_holds_no_answer_size_seed_or_code(pack: Path, quiz: Quiz) -> None:
    with zipfile.ZipFile(pack) as archive:
        texts = {
            name: archive.read(name).decode() for name in archive.namelist() if not name.endswith(".wav")
        }
    told = json.loads(texts["quiz.json"])
    assert {key for item in told["items"] for key in item} == {"number", "title", "question", "sound", "cues"}
    assert {item["question"]["size"] for item in told["items"]} == {0.0}
    for text in texts.values():
        for item in quiz.items:
            assert item.code.rpartition(".")[2] not in text
    assert {item["question"]["text"] for item in told["items"]} == {quiz.items[0].question.text}


def test_the_page_of_a_pack_asks_for_nothing_from_elsewhere_and_escapes_its_title(
    quiz: Quiz, reps: tuple[Rep, ...], tmp_path: Path
) -> None:
    write_sealed_pack(replace(quiz, title="<script>alert(1)</script>"), reps, tmp_path / "x.zip")
    with zipfile.ZipFile(tmp_path / "x.zip") as archive:
        page = archive.read("quiz.html").decode()
        assert {name for name in archive.namelist() if name.endswith(".wav")} == {
            f"sounds/item-{n:02d}.wav" for n in range(1, 7)
        }
    assert "<script>alert" not in page
    assert "http" not in page.replace("http-equiv", "")
    assert page.count('type="radio"') == 6 * 12
    assert page.count("<audio ") == 6


@pytest.mark.parametrize("spoil", ["missing", "text", "other", "later", "lacking"])
def test_what_is_no_pack_is_told(pack: Path, tmp_path: Path, spoil: str) -> None:
    path = tmp_path / "spoilt.zip"
    if spoil == "text":
        path.write_text("no archive")
    elif spoil != "missing":
        with zipfile.ZipFile(pack) as whole, zipfile.ZipFile(path, "w") as made:
            content = json.loads(whole.read("quiz.json")) | ({"format": 9} if spoil == "later" else {})
            made.writestr("quiz.json" if spoil != "other" else "else.json", json.dumps(content))
    said = {
        "missing": "cannot be read",
        "later": "another version of this program",
        "lacking": "lacks sounds/item-01",
    }
    with pytest.raises(Refused, match=said.get(spoil, "is no sealed quiz pack")):
        open_pack(path)


def test_the_page_and_the_program_write_what_staff_can_read(quiz: Quiz, tmp_path: Path) -> None:
    """Numbers come back as a browser writes them (1000 for 1000.0); what is half filled in is no answer."""
    item = quiz.items[1]
    given = {"1": {"band": 250}, "2": {"band": 1000, "direction": "cut"}, "3": {}}
    content = {"kind": "yardline-answers", "quiz": quiz.uid, "sitting": "a" * 32, "learner": "渡り鳥 🐦",
               "begun_at": "2031-03-04T18:00:00.000Z", "answers": given}  # fmt: skip
    path = tmp_path / "answers.json"
    path.write_text(json.dumps(content), encoding="utf-8")
    read = read_answers(quiz, path)
    assert (read.learner, read.sitting, read.at) == ("渡り鳥 🐦", "a" * 32, TAKEN_AT)
    assert read.answers[2] == {"band": 1000.0, "direction": "cut"}
    attempts = attempts_of(quiz, read, EXERCISES)
    assert attempts[0].given_answer == attempts[2].given_answer == {}
    assert attempts[1].marks["band"] == float(item.answer["band"] == 1000.0)


ANSWER_SLIPS = [
    ({"kind": "x"}, "is no file of answers"),
    ({"quiz": "0" * 32}, "answers another quiz"),
    ({"sitting": "../../x"}, "is no file of answers"),
    ({"begun_at": "2031-03-04T18:00:00"}, "is no file of answers"),
    ({"answers": {"99": {}}}, "answers an item 99; this quiz has items 1 to 6"),
    (
        {"answers": {"1": {"band": 440, "direction": "cut"}}},
        "item 1: the octave band was answered with 440; on offer are 31.5 Hz",
    ),
    ({"answers": {"1": 3}}, "item 1: 3 is no answer"),
    ({"learner": ""}, "is no file of answers"),
]


@pytest.mark.parametrize(("slip", "said"), ANSWER_SLIPS)
def test_a_spoilt_file_of_answers_is_told(
    quiz: Quiz, tmp_path: Path, slip: dict[str, object], said: str
) -> None:
    whole = {"kind": "yardline-answers", "quiz": quiz.uid, "sitting": "a" * 32, "learner": "Heron",
             "begun_at": "2031-03-04T18:00:00+00:00", "answers": {}}  # fmt: skip
    path = tmp_path / "answers.json"
    path.write_text(json.dumps(whole | slip), encoding="utf-8")
    with pytest.raises(Refused, match=said):
        read_answers(quiz, path)


def test_a_class_pack_holds_every_item_and_the_long_file_and_the_key_lies_apart(
    quiz: Quiz, reps: tuple[Rep, ...], tmp_path: Path
) -> None:
    folder = tmp_path / "class"
    folder.mkdir()
    told: list[int] = []
    duration_s = write_class_pack(quiz, reps, folder, pause_s=4.0, told=told.append)
    write_key(quiz, tmp_path / "key.csv")
    items = [read_sound(folder / f"item-{n:02d}.wav") for n in told]
    whole = read_sound(folder / LONG_FILE)
    assert told == [1, 2, 3, 4, 5, 6]
    assert (
        whole.duration_s
        == pytest.approx(duration_s)
        == pytest.approx(15.0 + sum(item.duration_s for item in items) + 6 * 4.0)
    )
    at = 15 * RATE_HZ
    assert np.array_equal(whole.samples[at : at + items[0].frames], items[0].samples)
    quiet = whole.samples[: RATE_HZ // 10]
    assert np.max(np.abs(quiet)) < 0.01 * np.max(np.abs(whole.samples)), "it rises from silence"
    texts = "".join(
        path.read_text(encoding="utf-8") for path in folder.iterdir() if path.suffix in (".txt", ".csv")
    )
    assert not any(item.code.rpartition(".")[2] in texts for item in quiz.items)
    with (tmp_path / "key.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert rows[0]["answer"] == "250 Hz, cut (size 6 dB)"
    assert [row["rep code"] for row in rows] == [rep.code for rep in reps]


def test_a_table_filled_in_comes_back_as_answers(quiz: Quiz, tmp_path: Path) -> None:
    path = tmp_path / TABLE
    text = "\ufeffname;1;2;3;4;5;6\r\nHeron;250 boost;1k cut;4 kHz, b;;16k c;\r\nمها;;;;;;\r\n;;\r\n"
    path.write_text(text, encoding="utf-8")
    read = read_table(quiz, path, at=TAKEN_AT)
    assert [one.learner for one in read] == ["Heron", "مها"]
    assert read[0].answers == {
        1: {"band": 250.0, "direction": "boost"},
        2: {"band": 1000.0, "direction": "cut"},
        3: {"band": 4000.0, "direction": "boost"},
        5: {"band": 16000.0, "direction": "cut"},
    }
    assert read[1] == Returned("مها", TAKEN_AT, "", {})


TABLE_SLIPS = {
    "": "holds no answers|begins with a line that names its columns",
    "1,2\n": "begins with a line that names its columns: name, 1, 2, … 6",
    "name,1\n": "holds no answers",
    "name,7\nHeron,x": "has a column '7'; this quiz has items 1 to 6",
    "name,1\nHeron,250": "line 2, item 1: '250' is no answer; an answer in one line is: octave band, direction",
    "name,1\nHeron,260 boost": "line 2, item 1: '260' is none of: 31.5 Hz",
    "name,1\nHeron,250 boost\nheron,250 cut": "in two lines",
    "name,1\n,250 boost": "line 2: ",
}


@pytest.mark.parametrize("text", TABLE_SLIPS)
def test_a_slip_in_a_table_is_told_with_its_line_and_item(quiz: Quiz, tmp_path: Path, text: str) -> None:
    path = tmp_path / "answers.csv"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(Refused, match=TABLE_SLIPS[text]):
        read_table(quiz, path, at=TAKEN_AT)


def test_a_table_that_is_not_utf_8_is_told(quiz: Quiz, tmp_path: Path) -> None:
    (tmp_path / "answers.csv").write_bytes("name,1\nJürgen,".encode("latin-1"))
    with pytest.raises(Refused, match="is not UTF-8 text: save it as CSV UTF-8"):
        read_table(quiz, tmp_path / "answers.csv", at=TAKEN_AT)


@pytest.mark.parametrize(("number", "longs", "shorts"), [(1, 0, 1), (10, 1, 0), (23, 2, 3)])
def test_pips_count_tens_and_ones(number: int, longs: int, shorts: int) -> None:
    """Bursts are told apart by a Hilbert envelope's independent kin: the smoothed square of the samples."""
    power = np.convolve(pips(number).samples[:, 0].astype(float) ** 2, np.ones(480) / 480, "same")
    is_on = np.concatenate([[0], (power > 0.25 * power.max()).astype(int), [0]])
    lengths_s = (np.flatnonzero(np.diff(is_on) == -1) - np.flatnonzero(np.diff(is_on) == 1)) / RATE_HZ
    assert (int(np.sum(lengths_s > 0.3)), int(np.sum(lengths_s < 0.3))) == (longs, shorts)


def test_dither_takes_the_error_of_rounding_off_the_signal() -> None:
    """Triangular dither of ±1 step: the error's mean no longer hangs on the signal, and its power is a quarter
    step squared (1/12 + 2/12; Lipshitz, Wannamaker & Vanderkooy, JAES 40, 1992, from memory).
    """
    step = 2.0**-15
    ramp = Sound.of(np.repeat(np.linspace(-3.0, 3.0, 200_001)[:, None] * step, 1, axis=1))
    rounded = np.round(dithered(ramp, bits=16, rng=default_rng(1)).samples.astype(float) / step)
    error = (rounded - ramp.samples / step)[:, 0]
    assert np.mean(error**2) == pytest.approx(0.25, rel=0.02)
    assert abs(np.mean(error[(ramp.samples[:, 0] / step) % 1.0 < 0.3])) < 0.01


def test_a_quiz_kept_and_read_again_is_the_same(quiz: Quiz, tmp_path: Path) -> None:
    with open_store(tmp_path / "store.sqlite", now=MADE_AT) as store:
        keep_quiz(store, quiz)
        assert quizzes_of(store) == (quiz,)
        assert quiz_named([quiz], "") == quiz_named([quiz], quiz.code) == quiz_named([quiz], "week 3") == quiz
        with pytest.raises(Refused, match=r"there is no quiz 'x'; there are abcdef \(Week 3\)"):
            quiz_named([quiz], "x")
        with pytest.raises(Refused, match="names more than one quiz"):
            quiz_named([quiz, replace(quiz, uid="abcdef" + 26 * "1")], "abcdef")
        with pytest.raises(Refused, match="there is no quiz yet"):
            quiz_named([], "")
