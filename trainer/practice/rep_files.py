"""A rep as files: two sounds, the question without its answer, and the answer apart."""

import json
from pathlib import Path
from typing import Any

from trainer.practice.attempt import Value
from trainer.practice.deal import Rep
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
        "fields": [
            {
                "key": field.key,
                "title": field.title,
                "options": [
                    {"value": _number(option), "label": field.label(option)} for option in field.options
                ],
            }
            for field in rep.question.fields
        ],
    }


def answer_data(rep: Rep) -> dict[str, Any]:
    """Return what is true: the answer, the size with its unit, the octave bands (nominal hertz) it counts for."""
    return {
        "answer": {key: _number(value) for key, value in rep.answer.items()},
        "size": _number(rep.question.size),
        "unit": rep.exercise.ladder.unit,
        "bands": {f"{band_hz:g}": weight for band_hz, weight in rep.bands.items()},
        "change": rep.change.described(),
    }


def _number(value: Value) -> Value:
    """Return a number as people write it: 500, not 500.0."""
    return int(value) if isinstance(value, float) and value.is_integer() else value


def _write_json(path: Path, data: dict[str, Any]) -> None:
    path.write_text(json.dumps(data, indent=2, ensure_ascii=False) + "\n", encoding="utf-8")
