"""A real browser for the tests of the page for a phone."""

import pytest
from browser import PHONE, chromium, launched


@pytest.fixture(scope="session")
def driver():
    chromium()  # before anything is started: is there a browser at all?
    from playwright.sync_api import sync_playwright  # noqa: PLC0415 - not for every test

    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="session")
def browser(driver):
    with launched(driver) as found:
        yield found


@pytest.fixture
def show(browser, tmp_path):
    """Open pages, each in a context of its own unless one is given; in the end none may have complained."""
    complaints, requests, contexts = [], [], []

    def watch(tab):
        tab.on("console", lambda message: complaints.append(message.text))
        tab.on("pageerror", lambda error: complaints.append(str(error)))
        tab.on("request", lambda request: requests.append(request.url))
        return tab

    from pages import SHOWN, page_of  # noqa: PLC0415 - not for every test

    def open_page(plan=SHOWN, *, breaches=None, within=None, address=None, **settings):
        file = tmp_path / "floor.html"
        file.write_text(page_of(plan, breaches), encoding="utf-8")
        if within is None:
            within = browser.new_context(**(PHONE | settings))
            contexts.append(within)
        tab = watch(within.new_page())
        tab.goto(address or file.as_uri())
        return tab

    yield open_page
    for context in contexts:
        context.close()
    assert complaints == []
    assert all(url.startswith(("file:", "data:text/html", "blob:")) for url in requests), requests
    assert sum(url.startswith("file:") and not url.endswith("/floor.html") for url in requests) == 0
