"""A real Chromium, driven by Playwright: found on the machine, never downloaded."""

import json
import os
import shutil
from contextlib import contextmanager
from pathlib import Path

import pytest

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True}
NONE = (
    "no Chromium here: install one (Debian: apt-get install chromium) or name it in CUTOPT_CHROMIUM; "
    "without it the phone page is not tried in a browser"
)


def chromium():
    """Return where Chromium is; skip without one, or fail where CUTOPT_NEEDS_BROWSER says it has to be there."""
    named = os.environ.get("CUTOPT_CHROMIUM")
    found = named or next(filter(None, map(shutil.which, NAMES)), None)
    if found and Path(found).exists():
        return found
    if named or os.environ.get("CUTOPT_NEEDS_BROWSER"):
        pytest.fail(NONE)
    pytest.skip(NONE)


@contextmanager
def launched(driver):
    """Run a browser that forgets everything."""
    browser = driver.chromium.launch(executable_path=chromium())
    yield browser
    browser.close()


@contextmanager
def launched_with_profile(driver, folder):
    """Run a browser that keeps what pages store in ``folder``."""
    context = driver.chromium.launch_persistent_context(folder, executable_path=chromium())
    yield context
    context.close()


def tick(tab, piece):
    return tab.get_by_role("button", name=f"Laid {piece}", exact=True)


def pressed(tab):
    return [button.get_attribute("aria-pressed") for button in tab.locator("#pieces button").all()]


def laid(tab):
    return json.loads(tab.input_value("#laid-text"))["pieces"]


def heading(tab):
    return tab.locator("#row-name").text_content()
