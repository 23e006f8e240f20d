"""The README's pictures are real boards, small, with words for who cannot see them."""

import re
import struct
from pathlib import Path

import pytest
from readme_pictures import MOST_BYTES, PICTURES, SHOTS, WIDE, take

README = Path(__file__).parents[2] / "README.md"
PNG = b"\x89PNG\r\n\x1a\n"


def size(picture):
    """Return width and height of a PNG. [px]"""
    return struct.unpack(">II", picture[16:24])


def test_each_picture_is_there_small_and_told_in_words():
    told = dict((Path(file).name, words) for words, file in re.findall(r"!\[(.*?)\]\((\S+?)\)", README.read_text("utf-8"), flags=re.S))
    assert {*told} == {*SHOTS} and all(len(words.split()) > 20 for words in told.values())
    for name in SHOTS:
        picture = (PICTURES / name).read_bytes()
        assert picture.startswith(PNG) and len(picture) < MOST_BYTES and size(picture)[0] == WIDE


@pytest.mark.browser
@pytest.mark.parametrize("name", SHOTS)
def test_a_picture_can_be_taken_anew(browser, name):
    """As wide as the one that is committed, and as tall to a line of words: nothing above or below the drawing has come or gone."""
    taken, kept = size(take(browser, SHOTS[name])), size((PICTURES / name).read_bytes())
    assert taken[0] == kept[0] and abs(taken[1] - kept[1]) <= 16
