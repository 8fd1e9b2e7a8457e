"""One browser for all that is looked at in one."""

import shutil

import pytest

ARGUMENTS = [
    "--headless=new",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


@pytest.fixture(scope="session")
def chromium():
    """Debian's Chromium, worked by Playwright."""
    sync_api = pytest.importorskip("playwright.sync_api")
    path = shutil.which("chromium")
    if path is None:
        pytest.skip("chromium is not installed")
    with sync_api.sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=path, args=ARGUMENTS)
        yield started
        started.close()
