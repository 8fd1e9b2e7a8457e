"""The card as PDF or PNG, printed by a headless browser of the machine."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import tempfile
from pathlib import Path

from lift.errors import LiftError, check_choice
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

FIT = "--fit: 1;"
FITS = (1.0, 0.96, 0.92, 0.88, 0.84, 0.8, 0.75, 0.7)
"""Of the card's lengths, tried in turn until all is on one page."""

_PAGE = re.compile(rb"/Type\s*/Page\b")
"""One page of a PDF, as the browser writes it."""


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


def check_target(path: str) -> Path:
    """Path of a card to be written: ``.html``, ``.pdf`` or ``.png``, in a folder that exists.

    Raises
    ------
    LiftError
        For another ending, or no such folder.
    """
    target = Path(path)
    check_choice("card.ending", target.suffix.lower(), (".html", ".pdf", ".png"))
    if not target.parent.is_dir():
        raise LiftError("card.no_folder", folder=str(target.parent), card=target.name)
    return target


def write_card(html: str, target: Path, paper: str = "A4") -> None:
    """Write a card as it is, or print it, as its ending says; see `print_card`."""
    if target.suffix.lower() == ".html":
        write_whole(target, html, "file.card")
    else:
        print_card(html, target, paper)


def print_card(html: str, target: Path, paper: str) -> None:
    """Print a card to a ``.pdf`` or ``.png`` file, on ``A4`` or ``Letter``.

    A PDF has one page: where the machine's letters are too wide for that, all is made smaller.

    Raises
    ------
    LiftError
        When there is no browser, or it fails or takes longer than 90 s.
    """
    browser = find_browser()
    for fit in FITS:
        made = _printed(browser, html.replace(FIT, f"--fit: {fit:g};"), target.suffix, paper)
        if target.suffix.lower() != ".pdf" or len(_PAGE.findall(made)) <= 1:
            break
    write_whole(target, made, "file.card")


def _printed(browser: str, html: str, suffix: str, paper: str) -> bytes:
    """What a browser makes of a document."""
    with tempfile.TemporaryDirectory(prefix="lift-card-") as folder:
        page = Path(folder, "card.html")
        page.write_text(html, "utf-8")
        made = Path(folder, f"card{suffix.lower()}")
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
        return made.read_bytes()
