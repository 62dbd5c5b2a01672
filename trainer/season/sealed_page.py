"""The page of a sealed pack: the quiz in any browser, without this program; it writes a file of answers to return."""

import json
from html import escape

from trainer.practice.fields import Field
from trainer.season.answer_files import ANSWERS_KIND
from trainer.season.class_pack import item_file
from trainer.season.quiz import Quiz, QuizItem
from trainer.season.quiz_audio import PIPS_WORDS


def page_of(quiz: Quiz) -> str:
    """Return the page as HTML; it needs the sounds beside it, and nothing from anywhere else."""
    items = "\n".join(map(_item, quiz.items))
    about = json.dumps({"kind": ANSWERS_KIND, "quiz": quiz.uid, "count": len(quiz.items)})
    return _PAGE.format(
        title=escape(quiz.title), count=len(quiz.items), items=items, about=about, style=_STYLE, script=_SCRIPT,
        pips=PIPS_WORDS,
    )  # fmt: skip


def _item(item: QuizItem) -> str:
    fields = "\n".join(_field(field, item.number) for field in item.question.fields)
    sound = f"sounds/{item_file(item.number)}"
    return (
        f'<section id="item-{item.number}"><h2>{item.number}. {escape(item.question.text)}</h2>\n'
        f'<audio controls preload="none" src="{sound}"></audio>\n{fields}\n</section>'
    )


def _field(field: Field, number: int) -> str:
    choices = "\n".join(
        f'<label><input type="radio" name="{number}:{escape(field.key)}" '
        f'value="{escape(json.dumps(option), quote=True)}"> {escape(field.label(option))}</label>'
        for option in field.options
    )
    return f"<fieldset><legend>{escape(field.title)}</legend>\n{choices}\n</fieldset>"


_STYLE = """
body { background: #fffdf6; color: #17211f; font: 16px/1.5 "DejaVu Sans", Verdana, sans-serif; margin: 2rem auto;
  max-width: 52rem; padding: 0 1rem; }
section { border-top: 1px solid #a39d88; padding: 1rem 0; }
h1 { font-size: 1.6rem; } h2 { font-size: 1.1rem; }
audio { width: 100%; }
fieldset { border: 0; padding: 0; margin: .6rem 0; } legend { color: #505b57; padding: 0; }
label { display: inline-block; min-height: 2rem; padding: .1rem .9rem .1rem 0; }
button { font: inherit; padding: .6rem 1.2rem; } input[type=text] { font: inherit; padding: .3rem; width: 20rem; }
.care { background: #e9e5d6; padding: .8rem 1rem; border-radius: 8px; }
"""

_SCRIPT = """
const about = JSON.parse(document.getElementById("about").textContent);
const kept = "answers-" + about.quiz;
const state = JSON.parse(localStorage.getItem(kept) || "{}");
state.sitting = state.sitting || crypto.getRandomValues(new Uint8Array(16)).reduce(
  (text, byte) => text + byte.toString(16).padStart(2, "0"), "");
state.begun_at = state.begun_at || new Date().toISOString();
state.answers = state.answers || {};
const name = document.getElementById("name");
name.value = state.name || "";
const keep = () => localStorage.setItem(kept, JSON.stringify(state));
const left = () => {
  const whole = [...document.querySelectorAll("section[id]")].filter(section =>
    [...section.querySelectorAll("fieldset")].every(one => one.querySelector(":checked"))).length;
  document.getElementById("left").textContent = whole + " of " + about.count + " answered";
};
for (const box of document.querySelectorAll("input[type=radio]")) {
  const [item, field] = box.name.split(":");
  box.checked = JSON.stringify((state.answers[item] || {})[field]) === JSON.stringify(JSON.parse(box.value));
  box.addEventListener("change", () => {
    state.answers[item] = Object.assign(state.answers[item] || {}, {[field]: JSON.parse(box.value)});
    keep(); left();
  });
}
name.addEventListener("input", () => { state.name = name.value; keep(); });
const sounds = [...document.querySelectorAll("audio")];
let loudness = 0.1;
for (const sound of sounds) {
  sound.volume = loudness;
  sound.addEventListener("play", () => {
    for (const other of sounds) if (other !== sound) other.pause();
    sound.volume = loudness;
  });
  sound.addEventListener("volumechange", () => { loudness = sound.volume; });
}
document.getElementById("save").addEventListener("click", () => {
  if (!name.value.trim()) { name.focus(); return; }
  const answers = {kind: about.kind, quiz: about.quiz, sitting: state.sitting, learner: name.value.trim(),
    begun_at: state.begun_at, saved_at: new Date().toISOString(), answers: state.answers};
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([JSON.stringify(answers, null, 1)], {type: "application/json"}));
  link.download = "answers.json";
  link.click();
});
keep(); left();
"""

_PAGE = """<!doctype html>
<html lang="en">
<head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<title>{title}</title>
<style>{style}</style></head>
<body>
<h1>{title}</h1>
<p class="care">Listen on headphones or good loudspeakers. Each sound starts at a tenth of full volume: turn it up
from there until it is comfortable, and take a break every twenty minutes. No page can know how loud it is at your
ear; local rules and a hearing professional come before anything said here.</p>
<p>{count} items. Each sound is the item's number ({pips}), then <em>plain</em>, then
<em>changed</em>; listen as often as you like. What you choose is kept in this browser until you save it.</p>
<p><label>Your name <input type="text" id="name" maxlength="40" autocomplete="name"></label></p>
{items}
<section><p id="left" role="status"></p>
<p><button id="save" type="button">Save my answers</button> and return the file answers.json to your staff.</p>
</section>
<script type="application/json" id="about">{about}</script>
<script>{script}</script>
</body></html>
"""
