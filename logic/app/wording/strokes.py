"""Strokes of the file in words: whole ones, and half ones."""

from __future__ import annotations

from shared.words import say_many


def strokes_in_words(count: int, *, half: bool) -> str:
    """As in: 3 strokes, 1 half stroke."""
    if half:
        return say_many("{count} half stroke", "{count} half strokes", count)
    return say_many("{count} stroke", "{count} strokes", count)
