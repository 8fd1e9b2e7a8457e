"""The card as PDF or PNG, printed by a headless browser of the machine."""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from pathlib import Path

from lift.errors import LiftError
from lift.files import write_whole

BROWSERS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
FLAGS = (
    "--headless",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--hide-scrollbars",
)
PIXELS = {"A4": (794, 1123), "Letter": (816, 1056)}
"""Page size at 96 pixels an inch."""

SECONDS = 90


def find_browser() -> str:
    """Path of a browser that prints without a window.

    Raises
    ------
    LiftError
        When there is none.
    """
    for name in BROWSERS:
        found = shutil.which(name)
        if found:
            return found
    raise LiftError("card.no_browser")


def print_card(html: str, target: Path, paper: str) -> None:
    """Print a card to a ``.pdf`` or ``.png`` file, on ``A4`` or ``Letter``.

    Raises
    ------
    LiftError
        When there is no browser, or it fails or takes longer than 90 s.
    """
    browser = find_browser()
    with tempfile.TemporaryDirectory(prefix="lift-card-") as folder:
        page = Path(folder, "card.html")
        page.write_text(html, "utf-8")
        made = Path(folder, f"card{target.suffix.lower()}")
        width, height = PIXELS[paper]
        job = (
            ("--no-pdf-header-footer", f"--print-to-pdf={made}")
            if made.suffix == ".pdf"
            else (
                f"--screenshot={made}",
                f"--window-size={width},{height}",
                "--force-device-scale-factor=2",
            )
        )
        # A browser refuses to sandbox itself for root; the page holds nothing but our own text.
        root = ("--no-sandbox",) if hasattr(os, "geteuid") and os.geteuid() == 0 else ()
        command = [browser, *FLAGS, *root, f"--user-data-dir={folder}/profile", *job, page.as_uri()]
        try:
            subprocess.run(command, check=True, capture_output=True, timeout=SECONDS)
        except (subprocess.SubprocessError, OSError) as error:
            name = Path(browser).name
            raise LiftError("card.print_failed", browser=name, error=str(error)) from None
        if not made.is_file():
            raise LiftError("card.printed_nothing", browser=Path(browser).name)
        write_whole(target, made.read_bytes(), "file.card")
