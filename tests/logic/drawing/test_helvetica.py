"""The widths of the two fonts against their published metrics, as a PDF library holds them."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf._codecs.core_font_metrics import CORE_FONT_METRICS

from logic.drawing.helvetica import encoded, text_width_em
from logic.drawing.page import text_width_mm

FONTS = {False: "Helvetica", True: "Helvetica-Bold"}
PUBLISHED = {bold: CORE_FONT_METRICS[name].character_widths for bold, name in FONTS.items()}


def _page_signs() -> list[str]:
    """Every sign that the fonts' encoding can write and a person can see."""
    signs = []
    for byte in range(32, 256):
        try:
            signs.append(bytes([byte]).decode("cp1252"))
        except UnicodeDecodeError:
            continue
    return [sign for sign in signs if sign.isprintable()]


SIGNS = _page_signs()
TEXTS = st.text(st.sampled_from(SIGNS), max_size=30)


@pytest.mark.parametrize("bold", [False, True], ids=FONTS.get)
def test_every_sign_is_as_wide_as_the_font_says(bold: bool) -> None:
    """All signs of the encoding have the advance width of the Adobe Core 14 metrics."""
    assert len(SIGNS) > 200
    wrong = {
        sign: (text_width_em(sign, bold), PUBLISHED[bold][sign] / 1000)
        for sign in SIGNS
        if text_width_em(sign, bold) != PUBLISHED[bold][sign] / 1000
    }
    assert wrong == {}


@given(TEXTS, TEXTS, st.booleans())
def test_a_text_is_as_wide_as_its_parts(first: str, second: str, bold: bool) -> None:
    """Widths add up: neither font is set with kerning."""
    whole = text_width_em(first + second, bold)
    assert whole == pytest.approx(text_width_em(first, bold) + text_width_em(second, bold))


@given(TEXTS, st.floats(1, 40), st.booleans())
def test_a_width_in_millimetres_is_the_size_times_the_width(
    text: str, size_pt: float, bold: bool
) -> None:
    """A point is 25.4/72 mm, so a text of one em at 72 points is an inch wide."""
    assert text_width_mm(text, size_pt, bold) == pytest.approx(
        text_width_em(text, bold) * size_pt * 25.4 / 72
    )
    assert text_width_mm("—", 72) == pytest.approx(25.4)


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("F♯ B♭", b"F# Bb"),
        ("−3 ≤ 4 ≥ 1", b"-3 <= 4 >= 1"),
        ("E2 → D2", b"E2 -> D2"),
        ("5 mm", b"5 mm"),
        ("Łódź", b"L\xf3dz"),
        ("Zoë (½)", b"Zo\xeb (\xbd)"),
        ("a\nb\x00c", b"abc"),
        ("漢", "…".encode("cp1252")),
        ("山田 太郎", "… …".encode("cp1252")),
        ("Иван Жуков", "Ivan Žukov".encode("cp1252")),
        ("Щука", b"Suka"),
        ("Ђорђе", b"Dorde"),
        ("Bench \xa9\ufe0f", b"Bench \xa9"),
        ("Ελένη Θωμά", b"Eleni Thoma"),
        ("Erdős", b"Erdos"),
        ("cafe\u0301", b"caf\xe9"),
    ],
)
def test_what_the_fonts_lack_is_written_with_the_nearest_signs(text: str, written: bytes) -> None:
    """Accidentals, comparisons, arrows, thin spaces and far letters have a readable stand-in, names
    in Cyrillic and Greek are spelled; an ellipsis stands for the rest."""
    assert encoded(text) == written


@given(st.text(max_size=40))
def test_any_text_can_be_written_and_measured_as_written(text: str) -> None:
    """The width is that of the bytes in the file, whatever they stand for."""
    written = encoded(text)
    assert text_width_em(text) == pytest.approx(text_width_em(written.decode("cp1252")))
    assert len(written) <= 2 * len(text)


@given(TEXTS)
def test_what_the_fonts_hold_is_written_unchanged(text: str) -> None:
    """Signs of the encoding come back from it as they were."""
    assert encoded(text).decode("cp1252") == text


@given(st.characters(min_codepoint=0xC0, max_codepoint=0x17F))
def test_no_latin_letter_is_lost(letter: str) -> None:
    """An accented letter that the encoding lacks is written as the letter under its accent."""
    base = unicodedata.normalize("NFKD", letter)[:1]
    if base.isascii():
        assert encoded(letter).decode("cp1252") in (letter, base)
