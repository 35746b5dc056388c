"""A small page for the tests of Word and PDF, and how their files are looked into."""

import base64
import io
import zipfile
from functools import cache

from matplotlib.figure import Figure

PNG = "iVBORw0KGgoAAAANSUhEUgAAAAoAAAAKCAYAAACNMs+9AAAAFUlEQVR42mP8z8BQz0AEYBxVSF+FABJADveWkH6oAAAAAElFTkSuQmCC"
FIGURE = f'<figure id="figure-1"><img src="data:image/png;base64,{PNG}" alt="A red square." width="120" height="120"><figcaption>Figure 1. A square. Nothing is counted.</figcaption></figure>'
TABLE = (
    '<div class="scroll kept" id="table-1" role="region"><table><caption>Table 1. Two choirs</caption><thead><tr>'
    '<th scope="col">Choir</th><th scope="col" class="number">Gain</th></tr></thead><tbody>'
    '<tr><th scope="row">Thimble</th><td class="number"><a class="n" href="#mean_gain/thimble" aria-description="average gain">2.5</a></td></tr>'
    '<tr id="mean_gain/thimble"><th scope="row">Hobnail</th><td class="number">1.0</td></tr></tbody></table></div>'
    '<p class="note">Sources: Student (1908).</p>'
)
PARTS = (
    '<h1>Small review</h1><div class="banner"><p>Thimble Hill</p><p>Invented data.</p></div><h2>In short</h2>'
    '<div class="box"><p>Scores rose by <a class="n" href="#mean_gain/thimble" aria-description="average gain">2.5</a> points.</p></div>'
    '<div class="box"><p>That is all.</p></div><h3>More</h3><p>Some <em>words</em> &amp; <strong>more</strong>.</p>'
    "<ul><li>Not for grades.</li><li>Voices differ.</li></ul><ol><li>first</li><li>second</li></ol>"
    "<dl><dt>average gain</dt><dd>How much scores rose.</dd></dl>"
)


def page(body: str = PARTS + FIGURE + TABLE, *, title: str = "Small review, Thimble Hill", language: str = "en") -> str:
    """Lay a page out as the report does."""
    return (
        f'<!DOCTYPE html><html lang="{language}"><head><title>{title}</title><style>p {{color: red}}</style></head><body>'
        f'<div class="sheet"><main>{body}<pre class="code"><code>secret = 1</code></pre></main>'
        '<div class="running" aria-hidden="true"><div class="banner"><p>Thimble Hill</p></div></div></div>'
        '<p class="switch"><label><input type="checkbox"> Show the code</label></p></body></html>'
    )


def long_table(rows: int, *, columns: int = 3) -> str:
    """Write a table of many rows, each cell different."""
    head = "".join(f'<th scope="col">Column {at}</th>' for at in range(columns))
    body = "".join(
        f'<tr><th scope="row">row{row}</th>' + "".join(f"<td>r{row}c{at}</td>" for at in range(1, columns)) + "</tr>"
        for row in range(rows)
    )
    return f'<div class="scroll" id="table-7"><table><caption>Table 7. Long</caption><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table></div>'


@cache
def drawing(height: float = 3.0) -> str:
    """Draw a figure as the report does, and write it as a page does."""
    target = io.BytesIO()
    Figure(figsize=(6.4, height)).savefig(target, format="png", dpi=50)
    code = base64.b64encode(target.getvalue()).decode()
    return f'<figure id="figure-2"><img src="data:image/png;base64,{code}" alt="White." width="614" height="{96 * height:.0f}"><figcaption>Figure 2. White.</figcaption></figure>'


def part(content: bytes, name: str = "word/document.xml") -> str:
    """Read one part of a Word file."""
    with zipfile.ZipFile(io.BytesIO(content)) as packed:
        return packed.read(name).decode()


class Pdf:
    """A PDF, looked into with a library that had no part in making it."""

    def __init__(self, content: bytes) -> None:
        import pypdf

        self.reader = pypdf.PdfReader(io.BytesIO(content))
        self.root = self.reader.trailer["/Root"]

    @property
    def pages(self) -> list[str]:
        """Give the words of each page, with single blanks."""
        return [" ".join(page.extract_text().split()) for page in self.reader.pages]

    def tags(self) -> list[tuple[str, str]]:
        """List each tag with its alternative text."""
        found, waiting = [], [self.root["/StructTreeRoot"]["/K"]]
        while waiting:
            node = waiting.pop().get_object()
            if isinstance(node, list):
                waiting += [one for one in node if not isinstance(one, int)][::-1]
            elif isinstance(node, dict):
                if "/S" in node:
                    found.append((str(node["/S"]), str(node.get("/Alt", ""))))
                if "/K" in node and not isinstance(node["/K"], int):
                    waiting.append(node["/K"])
        return found

    def outline(self) -> list[str]:
        """List the bookmarks."""

        def flat(items):
            for one in items:
                yield from flat(one) if isinstance(one, list) else [one.title]

        return list(flat(self.reader.outline))

    def fonts(self) -> dict[str, bool]:
        """Say for each typeface whether it is inside the file."""
        fonts = {}
        for page in self.reader.pages:
            for one in page["/Resources"].get("/Font", {}).values():
                font = one.get_object()
                inner = font["/DescendantFonts"][0].get_object() if "/DescendantFonts" in font else font
                described = inner["/FontDescriptor"].get_object()
                fonts[str(font["/BaseFont"])] = any(key.startswith("/FontFile") for key in described)
        return fonts
