"""Pages in a real browser without a window: what an accessibility engine finds, and whether a page is too wide."""

import html
import json
import re
import shutil
import subprocess
import tempfile
from importlib.util import find_spec
from pathlib import Path

BROWSERS = ("chromium", "chromium-browser", "google-chrome", "chrome")
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "best-practice"]
OPTIONS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--virtual-time-budget=600000", "--dump-dom",
)  # fmt: skip
DARK = "--blink-settings=preferredColorScheme=0"
_POLICY = re.compile(r'<meta http-equiv="Content-Security-Policy"[^>]*>')
_RUN = """
const pages = JSON.parse(document.getElementById('pages').textContent), found = {};
const engine = document.getElementById('engine').textContent, told = document.getElementById('told');
async function look(name, source) {
  const frame = document.createElement('iframe');
  frame.style = 'width: 1000px; height: 2000px; border: 0';
  document.body.append(frame);
  const loaded = new Promise(done => frame.onload = done);
  frame.srcdoc = source;
  await loaded;
  for (const body of frame.contentDocument.querySelectorAll('tbody'))
    while (ROWS && body.rows.length > ROWS) body.deleteRow(-1);
  const script = frame.contentDocument.createElement('script');
  script.textContent = engine;
  frame.contentDocument.head.append(script);
  const result = await frame.contentWindow.axe.run(frame.contentDocument, {
    resultTypes: ['violations', 'incomplete'], runOnly: {type: 'tag', values: TAGS}});
  const wide = {};
  for (const width of WIDTHS) {
    frame.style.width = width + 'px';
    wide[width] = frame.contentDocument.documentElement.scrollWidth;
  }
  found[name] = {
    faults: result.violations.map(v => v.id + ': ' + v.nodes[0].html.slice(0, 200)),
    unsure: result.incomplete.map(v => v.id + ': ' + v.nodes[0].html.slice(0, 200)),
    passed: result.passes.map(v => v.id), wide};
  frame.remove();
}
(async () => {
  for (const [name, source] of Object.entries(pages)) await look(name, source);
  told.textContent = JSON.stringify(found);
})().catch(fault => told.textContent = JSON.stringify({fault: String(fault)}));
"""


def browser() -> str | None:
    """Find a browser."""
    return next(filter(None, map(shutil.which, BROWSERS)), None)


def look_at(pages: dict[str, str], *, dark: bool = False, widths=(1000, 390, 320), rows: int = 0) -> dict[str, dict]:
    """Give what the engine finds on each page, what it cannot tell, which rules are kept, and how wide the page gets.

    All pages go through one start of the browser, each in a frame of its own; their policy, which lets no script
    run, is taken out for that. With `rows`, only so many of each table are looked at, since rows are made alike and
    most of the time goes into them.
    """
    engine = Path(find_spec("axe_core_python").origin).with_name("axe.min.js").read_text(encoding="utf-8")
    sources = json.dumps({name: _POLICY.sub("", page) for name, page in pages.items()}).replace("</", "<\\/")
    run = _RUN.replace("TAGS", json.dumps(TAGS)).replace("WIDTHS", json.dumps(widths)).replace("ROWS", str(rows))
    wrapper = (
        f'<!DOCTYPE html><html lang="en"><body><script type="text/plain" id="engine">{engine}</script>'
        f'<script type="application/json" id="pages">{sources}</script><pre id="told"></pre>'
        f"<script>{run}</script></body></html>"
    )
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as folder:
        file = Path(folder) / "pages.html"
        file.write_text(wrapper, encoding="utf-8")
        command = [browser(), *OPTIONS, *([DARK] if dark else []), f"--user-data-dir={folder}/user", file.as_uri()]
        dumped = subprocess.run(command, capture_output=True, text=True, timeout=300, check=True).stdout
    return json.loads(html.unescape(re.search(r'<pre id="told">(.*?)</pre>', dumped, re.DOTALL)[1]))
