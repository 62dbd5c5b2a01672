"""``yardline quiz``, as staff and students use it; the music is noise, so that items are made at once."""

import json
import zipfile
from collections.abc import Callable
from pathlib import Path

import pypdf
import pytest

from tests.command.conftest import Run
from tests.listener import hear_tone
from tests.noise_show import SameNoise
from tests.season.list_quiz import made_of_everything
from trainer.season.sealed_pack import open_pack, write_sealed_pack

NEW = (
    "quiz",
    "new",
    "--items",
    "4",
    "--sizes",
    "9",
    "9",
    "--seed",
    "3",
    "--title",
    "Week 3",
    "--show",
    "noise",
)


@pytest.fixture(autouse=True)
def noise(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the one show be noise."""
    monkeypatch.setattr("trainer.assembly.generated_shows", lambda _: {"noise": SameNoise()})
    monkeypatch.setenv("SDL_AUDIODRIVER", "dummy")


@pytest.fixture
def heard() -> Callable[[Path], list[str]]:
    """Return what hears a sealed pack and says each item's answer as people type it."""

    def answers(path: Path) -> list[str]:
        pack = open_pack(path)
        tones = [hear_tone(*pack.versions(item)) for item in pack.items]
        return [f"{tone.band_hz:g} {tone.direction}" for tone in tones if tone is not None]

    return answers


def test_a_quiz_from_the_making_to_the_results(
    run: Run, tmp_path: Path, heard: Callable[[Path], list[str]]
) -> None:
    made = run(*NEW)
    assert made.code == 0, made.err
    assert "(Week 3): 4 items, seed 3." in made.out
    code = made.out.split()[1]
    assert "Week 3" in run("quiz", "list").out
    sealed = run("quiz", "pack", "--sealed", str(tmp_path / "week.zip"))
    assert sealed.code == 0, sealed.err
    said = heard(tmp_path / "week.zip")
    assert len(said) == 4

    taken = run("quiz", "take", code, "--learner", "Heron", typed=(*said[:2], "q"))
    assert "2 of 4 items answered" in taken.out
    again = run("quiz", "take", "--learner", "Heron", typed=tuple(said[2:]))
    assert again.code == 0
    assert "Heron: 4 of 4 wholly right; score 100 %" in again.out
    assert run("quiz", "take", "--learner", "Heron").code == 2

    student = run("quiz", "take", str(tmp_path / "week.zip"), "--learner", "Plover", "--out",
                  str(tmp_path / "plover.json"), typed=(said[0], "g", "q"))  # fmt: skip
    assert "2 of 4 items answered" in student.out
    more = run("quiz", "take", str(tmp_path / "week.zip"), "--learner", "Plover", "--out",
               str(tmp_path / "plover.json"), typed=(said[2], said[3]))  # fmt: skip
    assert "4 of 4 items answered" in more.out
    (tmp_path / "table.csv").write_text(f"name,1,2,3,4\nAvocet,{said[0]},,{said[2]},\nDunlin,,,,\n")
    marked = run("quiz", "mark", code, str(tmp_path / "plover.json"), str(tmp_path / "table.csv"))
    assert marked.code == 0, marked.err
    assert "3 marked." in marked.out
    assert (
        "3 were marked before"
        in run("quiz", "mark", str(tmp_path / "plover.json"), str(tmp_path / "table.csv")).out
    )
    typed = run("quiz", "mark", "--learner", "Curlew", typed=(said[0], "nonsense", said[1], "", said[3]))
    assert "'nonsense' is no answer" in typed.out
    assert "1 marked." in typed.out

    results = json.loads(run("quiz", "results", "--json").out)
    right = {score["name"]: score["right"]["value"] for score in results["scores"]}
    assert right == {"Heron": 1.0, "Plover": 0.75, "Avocet": 0.5, "Dunlin": 0.0, "Curlew": 0.75}
    assert [item["difficulty"]["value"] for item in results["items"]] == [0.8, 0.4, 0.6, 0.6]
    shown = run("quiz", "results")
    assert "Heron" in shown.out
    assert "wholly right" in shown.out
    assert "Avocet: 2 of 4 wholly right" in run("quiz", "results", "--learner", "Avocet").out


def test_nothing_of_right_and_wrong_is_said_before_the_end(run: Run) -> None:
    run(*NEW)
    out = run("quiz", "take", "--learner", "Heron", typed=("500 boost", "g", "31.5 cut", "q")).out
    assert "3 of 4 items answered. Every answer is kept" in out
    figures = json.loads(run("progress", "--learner", "Heron", "--json").out)
    assert sum(band["attempts"] for band in figures["bands"]) == 0, "figures would tell of it too"
    for words in ("Right:", "named right", "Not quite", "It was", "undo", "Rep code", "worth", "score"):
        assert words not in out


def test_a_class_pack_keeps_its_key_apart_and_its_sheet_can_be_read(run: Run, tmp_path: Path) -> None:
    run(*NEW)
    packed = run("quiz", "pack", "--out", str(tmp_path / "class"), "--pause", "2")
    assert packed.code == 0, packed.err
    names = {path.name for path in (tmp_path / "class").iterdir()}
    assert names == {"READ ME.txt", "all-items.wav", "answer-sheet.pdf", "answers.csv",
                     *(f"item-0{n}.wav" for n in range(1, 5))}  # fmt: skip
    assert (tmp_path / "class-key.csv").exists()
    pages = pypdf.PdfReader(tmp_path / "class" / "answer-sheet.pdf").pages
    assert len(pages) == 1
    assert "16k" in pages[0].extract_text()


def test_the_same_seed_makes_the_same_items_and_a_file_says_the_same_as_options(
    run: Run, tmp_path: Path
) -> None:
    (tmp_path / "w.toml").write_text(
        "title = 'Week 3'\nshow = 'noise'\nseed = 3\n[[part]]\nitems = 4\nsizes = [9]\n", encoding="utf-8"
    )
    for number, make in enumerate((NEW, ("quiz", "new", str(tmp_path / "w.toml")))):
        code = run(*make).out.split()[1]
        run("quiz", "pack", code, "--sealed", str(tmp_path / f"{number}.zip"))
    one, two = (zipfile.ZipFile(tmp_path / f"{number}.zip") for number in (0, 1))
    name = "sounds/item-03.wav"
    assert one.read(name) == two.read(name)
    one.close()
    two.close()


SLIPS = [
    (("quiz", "take"), "there is no quiz yet"),
    (("quiz", "results"), "there is no quiz yet"),
    (("quiz", "new", "--items", "0"), "items"),
    (
        ("quiz", "new", "--items", "1", "--exercise", "level", "--exercise", "octave-tone"),
        "too few for 2 exercises",
    ),
    (("quiz", "new", "--exercise", "levl"), "levl"),
    (("quiz", "new", "--sizes", "6", "4", "--show", "noise"), "from a smaller one"),
    (("quiz", "new", "--show", "nowhere"), "there is no show 'nowhere'"),
    (("quiz", "new", "none.toml"), "none.toml cannot be read"),
    (("quiz", "new", "none.toml", "--items", "3"), "none.toml says what the quiz holds, and so does --items"),
    (("quiz", "mark"), "give FILES of answers"),
    (("quiz", "take", "nowhere.zip"), "nowhere.zip cannot be read"),
    (("quiz", "pack", "--sealed", "x.zip", "--out", "y"), "give no --out"),
]


@pytest.mark.parametrize(("typed", "said"), SLIPS)
def test_a_slip_is_told_in_one_sentence(run: Run, typed: tuple[str, ...], said: str) -> None:
    ended = run(*typed)
    assert ended.code == 2
    assert said in ended.err
    assert len(ended.err.strip().splitlines()) == 1


SLIPS_WITH_A_QUIZ = [
    (("quiz", "take", "week 9"), "there is no quiz 'week 9'; there are"),
    (("quiz", "results"), "nobody has taken 'Week 3' yet"),
    (("quiz", "mark", "answers.txt"), "give FILES of answers"),
    (("quiz", "mark", "week 3", "answers.txt"), "answers come as .csv or .json"),
    (("quiz", "pack", "--sealed", "x.tar"), "ends in .zip"),
    (("quiz", "pack", "--out", "here", "--key", "here/key.csv"), "would lie in the class's folder"),
]


def test_slips_with_a_quiz_are_told(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    run(*NEW)
    for typed, said in SLIPS_WITH_A_QUIZ:
        ended = run(*typed)
        assert (ended.code, said in ended.err) == (2, True), (typed, ended.err)


def test_a_pack_with_lists_and_positions_is_taken_line_by_line(run: Run, tmp_path: Path) -> None:
    """Of a pack everything is known that it takes to answer: its exercises need not be installed."""
    made = made_of_everything()
    write_sealed_pack(made.quiz, made.reps, tmp_path / "pack.zip")
    out = tmp_path / "heron.json"
    taken = run("quiz", "take", str(tmp_path / "pack.zip"), "--learner", "Heron", "--out", str(out),
                typed=("500 boost; 2k cut", "40", "-3.5", "g", "nothing", "1k boost"))  # fmt: skip
    assert "4 of 4 items answered" in taken.out
    assert "up to 4 rows with ; between, or nothing" in taken.out
    assert "the gain runs from -12 to 12 dB, not to 40" in taken.out
    assert "'nothing' is no answer" in taken.out
    assert json.loads(out.read_text(encoding="utf-8"))["answers"] == {
        "1": {"changes": [{"band": 500.0, "direction": "boost"}, {"band": 2000.0, "direction": "cut"}]},
        "2": {"gain": -3.5},
        "3": {},
        "4": {"band": 1000.0, "direction": "boost"},
    }
