"""The page of a sealed pack: its markup, and in a real browser (where one is installed) what it keeps and returns."""

import json
import shutil
import subprocess
from html import unescape
from pathlib import Path

import pytest

from tests.season.list_quiz import ALL, made_of_everything
from trainer.season.answer_files import attempts_of, read_answers
from trainer.season.sealed_page import page_of

BROWSER = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
PATIENCE_S = 120

FILL = """
const one = (words, root = document) => root.querySelector(words);
const pick = (row, key, text) => {
  const select = one(`select[data-key=${key}]`, row);
  select.selectedIndex = [...select.options].findIndex(option => option.text === text);
  select.dispatchEvent(new Event("change", {bubbles: true}));
};
const type = (input, text) => { input.value = text; input.dispatchEvent(new Event("input", {bubbles: true})); };
const list = one("fieldset[data-kind=list]"), rows = one(".rows", list).children;
const fill = () => {
  for (let count = 0; count < 9; count++) one(".add", list).click();
  document.body.dataset.most = rows.length;
  pick(rows[0], "band", "31.5 Hz");
  pick(rows[0], "direction", "boost");
  pick(rows[1], "band", "4 kHz");
  one(".remove", rows[0]).click();
  pick(rows[0], "direction", "cut");
  pick(rows[1], "band", "250 Hz");
  pick(rows[1], "direction", "boost");
  pick(rows[1], "band", "500 Hz");
  type(one("#item-2 input"), "99");
  document.body.dataset.beyond = one("#left").textContent;
  type(one("#item-2 input"), "-3.5");
  one("#item-3 input[value='1250.0']").click();
  one("#item-3 input[value='\\"cut\\"']").click();
  type(one("#name"), "Heron");
};
"""
SAVE = """
let saved = null;
URL.createObjectURL = blob => { saved = blob; return "about:blank#"; };
HTMLAnchorElement.prototype.click = () => {};
one("#save").click();
document.body.dataset.left = one("#left").textContent;
saved.text().then(text => { document.body.dataset.saved = text; });
"""


def driven(folder: Path, script: str, *, page: str) -> dict[str, str]:
    """Return what a script leaves on the body of the page in the browser, by its name."""
    file = folder / "quiz.html"
    file.write_text(f"{page}\n<script>{script}</script>", encoding="utf-8")
    assert BROWSER is not None
    ended = subprocess.run(
        [BROWSER, "--headless", "--no-sandbox", "--disable-gpu", f"--user-data-dir={folder / 'profile'}",
         "--virtual-time-budget=3000", "--dump-dom", file.as_uri()],
        capture_output=True, text=True, timeout=PATIENCE_S, check=True,
    )  # fmt: skip
    body = ended.stdout.partition("<body")[2].partition(">")[0]
    parts = [part.partition('="') for part in body.split(" data-")[1:]]
    return {name: unescape(value.rpartition('"')[0]) for name, _, value in parts}


in_browser = pytest.mark.skipif(BROWSER is None, reason="no Chromium is installed to open the page in")


@in_browser
def test_what_is_filled_in_comes_back_after_the_page_is_opened_again_and_is_returned(tmp_path: Path) -> None:
    """Rows are added up to the most, changed and removed; a position off the travel and a half row are no answer."""
    made = made_of_everything()
    page = page_of(made.quiz)
    twice = "if (state.name) { SAVE } else { fill(); location.reload(); }".replace("SAVE", SAVE)
    found = driven(tmp_path, FILL + twice, page=page)
    assert found["left"] == "3 of 4 answered. A row that is not filled in does not count: item 1."
    path = tmp_path / "answers.json"
    path.write_text(found["saved"], encoding="utf-8")
    said = json.loads(found["saved"])["answers"]
    rows = [{"band": 4000, "direction": "cut"}, {"band": 500, "direction": "boost"}]
    assert said == {"1": {"changes": rows}, "2": {"gain": -3.5}, "3": {"band": 1250, "direction": "cut"}}
    read = read_answers(made.quiz, path)
    assert read.learner == "Heron"
    assert read.answers[1] == {"changes": tuple(rows)}
    assert [bool(one.given_answer) for one in attempts_of(made.quiz, read, ALL)] == [True, True, True, False]


@in_browser
def test_no_more_rows_than_there_may_be_and_nothing_is_an_answer_too(tmp_path: Path) -> None:
    page = page_of(made_of_everything().quiz)
    nothing = 'one(".none", list).click(); document.body.dataset.hidden = one(".rows", list).hidden;'
    found = driven(tmp_path, FILL + "fill();" + nothing + SAVE, page=page)
    assert found["most"] == "4"
    assert found["beyond"].startswith("1 of 4 answered."), "99 dB is no position of the control"
    assert found["hidden"] == "true"
    assert json.loads(found["saved"])["answers"]["1"] == {"changes": []}
    assert found["left"] == "3 of 4 answered."


def test_the_page_offers_every_option_of_every_field_and_nothing_from_elsewhere() -> None:
    page = page_of(made_of_everything().quiz)
    assert page.count('type="radio"') == 30 + 2 + 10 + 2
    assert page.count("<option ") == (1 + 10) + (1 + 2)
    assert 'type="number" min="-12" max="12" step="0.5"' in page
    assert 'data-most="4"' in page
    assert "http" not in page
    assert page.count("<fieldset ") == 6
