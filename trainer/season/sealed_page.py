"""The page of a sealed pack: the quiz in any browser, without this program; it writes a file of answers to return."""

import json
from collections.abc import Mapping
from html import escape

from trainer.practice.control_field import ControlField
from trainer.practice.fields import Field, OptionField
from trainer.practice.list_field import NOTHING, ListField
from trainer.practice.values import Simple
from trainer.season.answer_files import ANSWERS_KIND
from trainer.season.class_pack import item_file
from trainer.season.quiz import Quiz, QuizItem
from trainer.season.quiz_audio import PIPS_WORDS
from trainer.season.sealed_script import SCRIPT

MANY = 20
"""More options than these stand in columns."""


def page_of(quiz: Quiz) -> str:
    """Return the page as HTML; it needs the sounds beside it, and nothing from anywhere else."""
    items = "\n".join(map(_item, quiz.items))
    about = json.dumps({"kind": ANSWERS_KIND, "quiz": quiz.uid, "count": len(quiz.items)})
    return _PAGE.format(
        title=escape(quiz.title), count=len(quiz.items), items=items, about=about, style=_STYLE, script=SCRIPT,
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
    """Return a field to fill in; the script reads its kind, its item and its key from it."""
    if isinstance(field, OptionField):
        kind, inside = "options", _options(field, number)
    elif isinstance(field, ListField):
        kind, inside = "list", _rows(field)
    elif isinstance(field, ControlField):
        kind, inside = "number", _number(field)
    else:
        raise TypeError(f"no page asks for a {type(field).__name__}")
    most = f' data-most="{field.most}"' if isinstance(field, ListField) else ""
    about = f'data-kind="{kind}" data-item="{number}" data-field="{escape(field.key)}"{most}'
    return f"<fieldset {about}><legend>{escape(field.title)}</legend>\n{inside}\n</fieldset>"


def _options(field: OptionField, number: int) -> str:
    choices = "\n".join(
        f'<label><input type="radio" name="{number}:{escape(field.key)}" value="{value}"> {words}</label>'
        for value, words in _offered(field).items()
    )
    return f'<div class="many">{choices}</div>' if len(field.options) > MANY else choices


def _rows(field: ListField) -> str:
    """Return the place for rows, the row that a click adds, and the choice of no row at all."""
    columns = "\n".join(map(_column, field.of))
    return (
        f'<ol class="rows"></ol>\n<template><li>{columns}\n'
        f'<button type="button" class="remove">Remove</button></li></template>\n'
        f'<p><button type="button" class="add">Add a row</button> '
        f'<label><input type="checkbox" class="none"> {NOTHING}</label> '
        f'<span class="room">up to {field.most} rows, in any order</span></p>'
    )


def _column(column: OptionField) -> str:
    title = escape(column.title)
    options = "".join(
        f'<option value="{value}">{words}</option>' for value, words in _offered(column).items()
    )
    return (
        f'<select data-key="{escape(column.key)}" aria-label="{title}"><option value="">{title} …</option>'
        f"{options}</select>"
    )


def _number(field: ControlField) -> str:
    return (
        f'<label><input type="number" min="{field.low:g}" max="{field.high:g}" step="{_step(field)}" '
        f'aria-label="{escape(field.title)}"> {escape(field.unit)}</label> '
        f'<span class="room">{escape(field.hint)}</span>'
    )


def _step(field: ControlField) -> str:
    """Return the step of a control as a browser counts it, from its lower end; any where that is off its steps."""
    steps = field.low / field.step
    return f"{field.step:g}" if abs(steps - round(steps)) < 1e-9 else "any"


def _offered(field: OptionField) -> Mapping[str, str]:
    """Return what is on offer in a field, as JSON in an attribute, with its words."""
    return {_attribute(option): escape(field.label(option)) for option in field.options}


def _attribute(option: Simple) -> str:
    return escape(json.dumps(option), quote=True)


_STYLE = """
body { background: #fffdf6; color: #17211f; font: 16px/1.5 "DejaVu Sans", Verdana, sans-serif; margin: 2rem auto;
  max-width: 52rem; padding: 0 1rem; }
section { border-top: 1px solid #a39d88; padding: 1rem 0; }
h1 { font-size: 1.6rem; } h2 { font-size: 1.1rem; }
audio { width: 100%; }
fieldset { border: 0; padding: 0; margin: .6rem 0; } legend { color: #505b57; padding: 0; }
.many { display: grid; grid-template-columns: repeat(auto-fill, minmax(7.5rem, 1fr)); }
.rows { margin: 0; padding-left: 1.6rem; } .rows:empty, .rows[hidden] { display: none; }
.rows li { padding: .2rem 0; } .room { color: #505b57; } p { margin: .5rem 0; }
label { display: inline-block; min-height: 2rem; padding: .1rem .9rem .1rem 0; }
button { font: inherit; padding: .6rem 1.2rem; } .rows button, .add { padding: .25rem .8rem; }
select, input[type=number] { font: inherit; min-height: 2.2rem; padding: .2rem .4rem; margin-right: .5rem; }
input[type=number] { width: 6rem; } input:invalid { outline: 2px solid #a3261d; }
input[type=text] { font: inherit; padding: .3rem; width: 20rem; }
.care { background: #e9e5d6; padding: .8rem 1rem; border-radius: 8px; }
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
