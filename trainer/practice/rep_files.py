"""A rep as files: two sounds, the question without its answer, and the answer apart."""

import json
from pathlib import Path
from typing import Any

from trainer.practice.deal import Rep
from trainer.practice.fields import Field, OptionField
from trainer.practice.list_field import ListField
from trainer.practice.values import plain_answer
from trainer.sound_files import write_sound


def write_rep(rep: Rep, folder: Path) -> None:
    """Write ``plain.wav`` and ``changed.wav`` (32-bit float), ``rep.json`` and ``answer.json`` into a folder."""
    write_sound(folder / "plain.wav", rep.plain)
    write_sound(folder / "changed.wav", rep.changed)
    _write_json(folder / "rep.json", question_data(rep))
    _write_json(folder / "answer.json", answer_data(rep))


def question_data(rep: Rep) -> dict[str, Any]:
    """Return what is asked: exercise, question, fields with their options, the rep code; nothing of the answer."""
    return {
        "rep_code": rep.code,
        "exercise": rep.exercise.key,
        "title": rep.exercise.title,
        "question": rep.question.text,
        "fields": [_field_data(field) for field in rep.question.fields],
    }


def answer_data(rep: Rep) -> dict[str, Any]:
    """Return what is true: the answer, the size with its unit, the octave bands (nominal hertz) it counts for."""
    return {
        "answer": {key: _short(value) for key, value in plain_answer(rep.answer).items()},
        "size": _short(rep.question.size),
        "unit": rep.exercise.ladder.unit,
        "bands": {f"{band_hz:g}": weight for band_hz, weight in rep.bands.items()},
        "change": rep.change.described(),
    }


def _field_data(field: Field) -> dict[str, Any]:
    """Return a field as JSON for other programs: its options with their words, or what else can be answered."""
    data: dict[str, Any] = {"key": field.key, "title": field.title}
    if isinstance(field, OptionField):
        options = [{"value": _short(option), "label": field.label(option)} for option in field.options]
        return data | {"options": options}
    if isinstance(field, ListField):
        return data | {"most": field.most, "rows": [_field_data(one) for one in field.of]}
    return data | {"allowed": field.hint}


def _short(value: Any) -> Any:
    """Return numbers as people write them, 500 and not 500.0, in lists and tables too."""
    if isinstance(value, list):
        return [_short(one) for one in value]
    if isinstance(value, dict):
        return {key: _short(one) for key, one in value.items()}
    return int(value) if isinstance(value, float) and value.is_integer() else value


def _write_json(path: Path, data: dict[str, Any]) -> None:
    path.write_text(json.dumps(data, indent=2, ensure_ascii=False) + "\n", encoding="utf-8")
