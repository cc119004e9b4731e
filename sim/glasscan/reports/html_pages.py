"""Pages to print: one HTML file with its style and pictures inside; everything put in is escaped."""

from __future__ import annotations

import html
from collections.abc import Iterable, Sequence
from typing import Literal

Paper = Literal["A4", "Letter"]

TEACHING_LINE = (
    "Teaching model only; for real work follow the current approved maintenance data for the exact type; "
    "release to service is made only by an appropriately licensed/certificated person."
)
NOTHING = "–"
"""Printed where there is no value; never 0."""

STYLE = """@page {{ size: {size}; margin: 15mm;
  @bottom-right {{ content: counter(page) " / " counter(pages); }} }}
body {{ font: 11pt/1.4 sans-serif; color: #000; background: #fff; max-width: 180mm; margin: auto; }}
.wide {{ overflow-x: auto; }}
table {{ border-collapse: collapse; margin: 0 0 6mm; }}
th, td {{ border: 1px solid #666; padding: 1mm 2mm; text-align: left; }}
svg {{ max-width: 100%; height: auto; }}
td.n {{ text-align: right; font-variant-numeric: tabular-nums; }}
tr, svg, figure {{ break-inside: avoid; }}
thead {{ display: table-header-group; }}
.note {{ border: 1px solid #000; padding: 2mm; }}
footer {{ border-top: 1px solid #000; margin-top: 8mm; font-size: 9pt; }}"""
"""Black on white and shades of grey: nothing is told by colour alone."""


class Html(str):
    """Text that is HTML already; every other text is escaped."""

    __slots__ = ()


def escaped(content: object) -> Html:
    """Content as HTML; None is a dash."""
    if isinstance(content, Html):
        return content
    return Html(html.escape(NOTHING if content is None else str(content)))


def element(tag: str, *contents: object, **attributes: object) -> Html:
    """An element; attribute names may end in `_` and use `_` for `-`."""
    named = (f' {key.rstrip("_").replace("_", "-")}="{escaped(value)}"' for key, value in attributes.items())
    return Html(f"<{tag}{''.join(named)}>{''.join(escaped(content) for content in contents)}</{tag}>")


def table(head: Sequence[object], rows: Iterable[Sequence[object]]) -> Html:
    """A table; numbers are set to the right."""
    top = element("thead", element("tr", *(element("th", name, scope="col") for name in head)))
    body = element("tbody", *(element("tr", *map(_cell, row)) for row in rows))
    # a table wider than the screen moves by itself, so that the page does not (WCAG 2.2, 1.4.10: 320 px)
    whole = element("table", top, body)
    return element("div", whole, class_="wide", tabindex=0, role="region", aria_label=_name(head))


def number(value: float | None, decimals: int = 2) -> str:
    """A number with fixed decimals and the minus sign of print, or a dash."""
    if value is None:
        return NOTHING
    text = f"{value:.{decimals}f}"
    return (text.removeprefix("-") if not text.strip("-0.") else text).replace("-", "−")


def bars(title: str, labels: Sequence[str], values: Sequence[float], top: float) -> Html:
    """Upright bars as inline SVG, each with its label below and its value above.

    Args:
        title: read out in place of the picture.
        labels: one for each bar.
        values: heights, 0..top.
        top: value at full height, above 0.
    """
    step, height = 40, 120
    parts: list[Html] = [element("title", title)]
    for i, (label, value) in enumerate(zip(labels, values, strict=True)):
        tall, left = height * value / top, step * i
        bar = {"x": left + 6, "y": f"{20 + height - tall:.1f}", "width": 28, "height": f"{tall:.1f}"}
        parts.append(element("rect", **bar, fill="#888", stroke="#000"))
        parts.append(_svg_text(left + 20, 15 + height - tall, f"{value:g}"))
        parts.append(_svg_text(left + 20, height + 35, label))
    view = f"0 0 {step * max(1, len(labels))} {height + 42}"
    return element("svg", *parts, viewBox=view, width=view.split()[2], role="img", aria_label=title)


def page(title: str, *body: object, paper: Paper = "A4", made: str = "") -> str:
    """A whole page, with the teaching-only line at its foot.

    Args:
        title: of the page.
        body: elements, in order; plain text becomes a paragraph.
        paper: size of the sheet.
        made: date, seed, version and the like, for the foot.
    """
    blocks = (part if isinstance(part, Html) else element("p", part) for part in body)
    foot = element("footer", element("p", TEACHING_LINE), element("p", made))
    style = Html(STYLE.format(size=paper))
    meta = '<meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">'
    policy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"
    guard = f'<meta http-equiv="Content-Security-Policy" content="{policy}">'
    head = Html(meta + guard) + element("title", title) + element("style", style)
    main = element("main", Html("\n".join([element("h1", title), *blocks])))
    inside = f"{main}\n{foot}"
    return f'<!DOCTYPE html>\n<html lang="en">\n<head>{head}</head>\n<body>\n{inside}\n</body>\n</html>\n'


def _name(head: Sequence[object]) -> str:
    """What a table is about, for who hears it: the heads of its columns."""
    return "Table: " + ", ".join(str(name) for name in head if name)


def _cell(content: object) -> Html:
    figures = isinstance(content, str) and content.replace("−", "").replace(".", "").isdecimal()
    return element("td", content, class_="n") if figures or content == NOTHING else element("td", content)


def _svg_text(x: float, y: float, content: str) -> Html:
    return element("text", content, x=x, y=f"{y:.1f}", text_anchor="middle", font_size=11)
