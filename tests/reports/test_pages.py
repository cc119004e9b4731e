"""Building blocks of printed pages; escaping is compared with Python's html.unescape."""

from __future__ import annotations

import html
import xml.etree.ElementTree as ET

import pytest
from glasscan.reports.html_pages import bars, element, escaped, number, page, table
from hypothesis import given
from hypothesis import strategies as st

printable = st.text(st.characters(exclude_categories=["Cs", "Cc"], exclude_characters="\ufffe\uffff"))


@given(printable, printable)
def test_element_is_well_formed(content: str, attribute: str) -> None:
    """Any text goes in and comes out of an XML reader unchanged, in content and attributes."""
    read = ET.fromstring(element("p", content, data_x=attribute))
    assert (read.text or "", read.attrib["data-x"]) == (content, attribute)


@given(st.text())
def test_escaped(content: str) -> None:
    """Escaped text has no signs of HTML, and unescapes to what it was; what is HTML already stays."""
    safe = escaped(content)
    assert not set("<>\"'") & set(safe)
    assert html.unescape(safe) == html.unescape(html.escape(content))
    assert escaped(safe) is safe


@pytest.mark.parametrize(
    ("value", "text"),
    [(None, "–"), (0.5, "0.50"), (-0.1236, "−0.12"), (-0.001, "0.00"), (0.0, "0.00"), (12.345, "12.35")],
)
def test_number(value: float | None, text: str) -> None:
    """Two decimals, the minus of print, no negative nought, and a dash for no value."""
    assert number(value) == text


def test_table_sets_numbers_to_the_right() -> None:
    """Numbers and dashes have their own class, words do not."""
    cells = list(ET.fromstring(table(("a", "b", "c", "d"), [("−0.12", "word", "–", None)])).iter("td"))
    assert [cell.get("class") for cell in cells] == ["n", None, "n", None]
    assert [cell.text for cell in cells] == ["−0.12", "word", "–", "–"]


def test_bars() -> None:
    """Heights are in proportion, and the picture has a title for those who cannot see it."""
    picture = ET.fromstring(bars("Title", ["a", "b"], [5, 10], 10))
    heights = [float(bar.attrib["height"]) for bar in picture.iter("rect")]
    assert heights[1] == 2 * heights[0] > 0
    assert [title.text for title in picture.iter("title")] == ["Title"]
    assert [text.text for text in picture.iter("text")] == ["5", "a", "10", "b"]


def test_bars_stay_inside_the_picture() -> None:
    """No bar leaves the frame, also with no bars at all."""
    picture = ET.fromstring(bars("t", list("abc"), [0, 1, 10], 10))
    width, height = map(float, picture.attrib["viewBox"].split()[2:])
    for bar in picture.iter("rect"):
        x, y, w, h = (float(bar.attrib[key]) for key in ("x", "y", "width", "height"))
        assert 0 <= x <= x + w <= width
        assert 0 <= y <= y + h <= height
    assert ET.fromstring(bars("t", [], [], 1)).tag == "svg"


def test_plain_text_in_a_page_is_a_paragraph() -> None:
    """Plain text becomes an escaped paragraph."""
    assert "<p>a &lt; b</p>" in page("T", "a < b")
