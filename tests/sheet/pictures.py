"""The pictures that README shows: ``python -m tests.sheet.pictures`` makes them anew; look at them before a commit."""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from PIL import Image
from playwright.sync_api import sync_playwright

ROOT = Path(__file__).parents[2]
PICTURES = ROOT / "docs" / "pictures"
#: The flags under which the tests run the browser too.
FLAGS = ("--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--disable-background-networking")


def main() -> None:
    PICTURES.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        subprocess.run(
            [sys.executable, "-m", "polypocket", "demo", "-o", folder], check=True, stdout=subprocess.DEVNULL
        )
        system = next(filter(None, map(shutil.which, ("chromium", "chromium-browser"))), None)
        browser = playwright.chromium.launch(executable_path=system, args=FLAGS)
        sheet = (Path(folder) / "valve_stem_block.html").as_uri()
        page = browser.new_page(viewport={"width": 1100, "height": 900})
        page.goto(f"{sheet}#pass-40")
        page.wait_for_timeout(300)
        page.locator("#passes").screenshot(path=PICTURES / "passes.png")
        page.set_viewport_size({"width": 820, "height": 900})
        for name in ("part", "machine", "checks"):
            page.locator(f"#{name}").screenshot(path=PICTURES / f"{name}.png")
        page.set_viewport_size({"width": 390, "height": 844})
        page.locator("#passes").evaluate("e => e.scrollIntoView()")
        page.screenshot(path=PICTURES / "phone.png")
        browser.close()
    for path in PICTURES.glob("*.png"):  # sixteen greys are enough, and small
        Image.open(path).convert("L").quantize(16).save(path, optimize=True)


if __name__ == "__main__":
    main()
