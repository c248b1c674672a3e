"""Work with the page for a phone in a real browser.

Every test also holds that nothing is loaded and that the browser has nothing to complain about (``show``).
"""

import json
from base64 import b64encode
from hashlib import sha256

from browser import heading, laid, launched_with_profile, pressed, tick
from pages import NASTY, SHOWN, hostile, page_of, stored

from cutopt.planfile import write_plan

PLANK_1 = 'Plank 1: 27-7/8"for row 2, start (2.1), 24"'


def test_a_piece_and_a_row_are_ticked_and_ticked_off(show):
    tab = show()
    assert pressed(tab) == ["false", "false"]
    tick(tab, "1.1").tap()
    assert pressed(tab) == ["true", "false"]
    whole = tab.get_by_role("button", name="Whole row laid", exact=True)
    assert whole.get_attribute("aria-pressed") == "false"
    whole.tap()
    assert (pressed(tab), laid(tab)) == (["true", "true"], ["1.1", "1.2"])
    assert tab.locator("#rows-laid").text_content() == f"1 of {len(SHOWN.rows)}"
    assert tab.locator("#planks-opened").text_content() == f"2 of {SHOWN.totals.planks}"
    whole.tap()
    assert laid(tab) == []


def test_a_piece_is_told_in_full(show):
    tab = show()
    texts = [text.strip() for text in tab.locator("#pieces li").first.locator("p").all_text_contents()]
    assert texts == [
        "1.1 starter",
        '20"',
        "Plank 1, right part",
        'Mark 20" from the right factory end',
        "Cut end to the left wall",
        "Rest to row 2, start",
    ]


def test_reloading_keeps_ticks_and_opens_the_first_row_to_lay(show):
    tab = show()
    tab.locator("#row-laid").tap()
    tab.locator("#next").tap()
    tick(tab, "2.1").tap()
    tab.reload()
    assert heading(tab) == "Row 2, Passage"
    assert pressed(tab) == ["true", "false"]
    assert laid(tab) == ["1.1", "1.2", "2.1"]


def test_ticks_survive_the_end_of_the_browser(driver, tmp_path):
    page = tmp_path / "floor.html"
    page.write_text(page_of(SHOWN), encoding="utf-8")
    for expected in ([], ["1.1"]):
        with launched_with_profile(driver, tmp_path / "profile") as context:
            tab = context.new_page()
            tab.goto(page.as_uri())
            assert laid(tab) == expected
            tick(tab, "1.1").click()


def test_another_plan_has_ticks_of_its_own(show):
    tab = show()
    tick(tab, "1.1").tap()
    other = show(stored("plans/square.json"), within=tab.context)
    assert laid(other) == []


def test_a_second_tab_follows(show):
    first = show()
    second = show(within=first.context)
    tick(first, "1.2").tap()
    second.wait_for_function("document.querySelectorAll('#pieces [aria-pressed=true]').length === 1")
    assert laid(second) == ["1.2"]


def test_the_export_names_plan_and_pieces_in_the_order_laid(show):
    tab = show()
    tick(tab, "1.2").tap()
    tick(tab, "1.1").tap()
    with tab.expect_download() as download:
        tab.get_by_role("link", name="Save file").tap()
    name = download.value.suggested_filename
    text = download.value.path().read_text(encoding="utf-8")
    plan = sha256(write_plan(SHOWN).encode()).hexdigest()
    assert json.loads(text) == {
        "format": "cutopt-laid",
        "version": 1,
        "title": SHOWN.title,
        "plan": plan,
        "pieces": ["1.1", "1.2"],
    }
    assert name == f"cutopt-laid-{plan[:8]}.json"
    assert tab.input_value("#laid-text") == text


def test_the_text_is_copied_or_left_selected(show):
    tab = show()
    tab.locator("#copy").tap()
    tab.wait_for_function("document.getElementById('message').textContent !== ''")
    assert tab.locator("#message").text_content() in ("Copied.", "The text is selected: copy it.")


def test_an_export_is_read_back_from_a_file_and_from_text(show, tmp_path):
    tab = show()
    tab.locator("#row-laid").tap()
    text = tab.input_value("#laid-text")
    file = tmp_path / "laid.json"
    file.write_text(text, encoding="utf-8")
    other = show()
    other.get_by_label("Read a saved file").set_input_files(file)
    other.wait_for_function("document.getElementById('message').textContent.startsWith('Read')")
    assert (heading(other), laid(other)) == ("Row 2, Passage", ["1.1", "1.2"])
    third = show()
    third.get_by_label("or paste its text").fill(text)
    third.get_by_role("button", name="Read text").tap()
    assert laid(third) == ["1.1", "1.2"]
    third.locator("#undo").tap()
    assert laid(third) == []


REFUSED = {
    "no JSON": ("<b>", "This is no file of what is laid."),
    "other JSON": ("[1]", "This is no file of what is laid."),
    "nothing": ("null", "This is no file of what is laid."),
    "a later version": ({"version": 2}, "That file is of another version: make the page anew."),
    "another plan": ({"plan": "0" * 64}, "That file belongs to another plan. Nothing was changed."),
    "unknown pieces": (
        {"pieces": ["1.1", "__proto__"]},
        "That file names pieces that are not in this plan. Nothing was changed.",
    ),
    "no list": ({"pieces": "1.1"}, "That file names pieces that are not in this plan. Nothing was changed."),
}


def test_what_is_no_export_of_this_plan_is_refused(show):
    tab = show()
    tick(tab, "1.2").tap()
    text = tab.input_value("#laid-text")
    said = {}
    for name, (change, _) in REFUSED.items():
        tab.fill("#other-text", change if isinstance(change, str) else json.dumps(json.loads(text) | change))
        tab.locator("#read-text").tap()
        said[name] = tab.locator("#message").text_content()
        assert tab.input_value("#laid-text") == text
    assert said == {name: answer for name, (_, answer) in REFUSED.items()}


def test_undo_goes_back_step_by_step(show):
    tab = show()
    undo = tab.locator("#undo")
    assert undo.get_attribute("aria-disabled") == "true"
    tick(tab, "1.1").tap()
    tab.locator("#next").tap()
    tab.locator("#row-laid").tap()
    undo.tap()
    assert (heading(tab), laid(tab)) == ("Row 2, Passage", ["1.1"])
    undo.tap()
    assert (heading(tab), laid(tab)) == ("Row 1, Passage", [])
    assert undo.get_attribute("aria-disabled") == "true"


def test_reset_asks_first_and_can_be_undone(show):
    tab = show()
    tab.locator("#row-laid").tap()
    tab.locator("#reset").tap()
    assert tab.locator("#sure-text").text_content() == "Take off all 2 ticks?"
    tab.get_by_role("button", name="Keep them").tap()
    assert laid(tab) == ["1.1", "1.2"]
    tab.locator("#reset").tap()
    tab.keyboard.press("Escape")
    assert laid(tab) == ["1.1", "1.2"]
    tab.locator("#reset").tap()
    tab.get_by_role("button", name="Take off all", exact=True).tap()
    tab.wait_for_function("!document.getElementById('sure').open")
    assert laid(tab) == []
    tab.locator("#undo").tap()
    assert laid(tab) == ["1.1", "1.2"]


def test_offcuts_wait_from_one_piece_to_the_next(show):
    tab = show()

    def waiting():
        return tab.locator("#rests li").all_text_contents()

    assert waiting() == []
    assert tab.locator("#none-waiting").is_visible()
    tick(tab, "1.1").tap()
    assert waiting() == [PLANK_1]
    tab.locator("#next").tap()
    tick(tab, "2.1").tap()
    assert waiting() == []


def test_rows_are_turned_and_said(show):
    tab = show()
    assert tab.locator("#previous").get_attribute("aria-disabled") == "true"
    tab.locator("#next").tap()
    assert heading(tab) == "Row 2, Passage"
    assert tab.locator("#spoken").text_content() == "Row 2, Passage, 2 pieces"
    assert tab.get_by_role("status").filter(has_text="Row 2, Passage, 2 pieces").count() == 1
    tab.get_by_label("Go to row").select_option(label="Row 4, Lockers")
    assert heading(tab) == "Row 4, Lockers"
    tab.locator("#previous").tap()
    assert heading(tab) == "Row 3, Passage"


def test_the_keyboard_does_it_all(show):
    tab = show(viewport={"width": 1280, "height": 800}, has_touch=False)
    tab.keyboard.press("ArrowRight")
    assert heading(tab) == "Row 2, Passage"
    tab.keyboard.press("Space")
    assert laid(tab) == ["2.1"]
    tab.keyboard.press("ArrowDown")
    tab.keyboard.press("Space")
    assert laid(tab) == ["2.1", "2.2"]
    tab.keyboard.press("ArrowDown")
    assert tab.evaluate("document.activeElement.id") == "row-laid"
    tab.keyboard.press("Enter")
    assert laid(tab) == []
    tab.keyboard.press("ArrowLeft")
    assert heading(tab) == "Row 1, Passage"
    style = tab.evaluate("getComputedStyle(document.activeElement).outlineWidth")
    assert style == "4px"


def test_arrows_are_left_to_fields_of_text(show):
    tab = show()
    tab.locator("#other-text").focus()
    tab.keyboard.press("ArrowRight")
    assert heading(tab) == "Row 1, Passage"


def test_the_bar_hides_nothing_that_has_the_focus(show):
    tab = show(viewport={"width": 320, "height": 568})
    bar = tab.locator("nav.bar").bounding_box()["y"]
    for _ in range(14):
        tab.keyboard.press("Tab")
        box, in_bar = tab.evaluate(
            "[document.activeElement.getBoundingClientRect().bottom, !!document.activeElement.closest('nav')]"
        )
        assert in_bar or box <= bar + 1


def test_where_nothing_can_be_stored_the_page_says_so_and_works(show):
    """A page from a data address has no storage: the browser itself refuses it."""
    address = "data:text/html;base64," + b64encode(page_of(SHOWN).encode()).decode()
    tab = show(address=address)
    warning = tab.locator("#storage")
    assert warning.is_visible()
    assert warning.text_content().startswith("Ticks cannot be kept")
    assert not tab.locator("#kept").is_visible()
    tick(tab, "1.1").tap()
    assert laid(tab) == ["1.1"]


def test_storage_that_fills_up_later_is_told(show):
    tab = show()
    assert not tab.locator("#storage").is_visible()
    full = "() => { throw new DOMException('', 'QuotaExceededError'); }"
    tab.evaluate(f"() => {{ Storage.prototype.setItem = {full}; }}")
    tick(tab, "1.1").tap()
    assert tab.locator("#storage").is_visible()
    assert laid(tab) == ["1.1"]


def test_stored_text_that_is_broken_is_told_and_does_no_harm(show):
    tab = show()
    tick(tab, "1.1").tap()
    tab.evaluate("for (const key of Object.keys(localStorage)) localStorage.setItem(key, '{')")
    tab.reload()
    assert laid(tab) == []
    assert (
        tab.locator("#message").text_content() == "What was kept here could not be read: all ticks are off."
    )


def test_rules_not_kept_are_shown_with_their_row(show):
    tab = show(breaches={2: ["joint <b>too near</b>"]})
    assert tab.locator("#broken p").count() == 0
    tab.locator("#next").tap()
    assert tab.locator("#broken").text_content() == "Rule not kept: joint <b>too near</b>"


def test_text_from_the_file_does_not_run(show):
    tab = show(hostile())
    assert tab.locator("h1").text_content() == NASTY.replace("\u2028", " ")
    assert NASTY.split("\u2028")[0] in heading(tab)
    assert tab.locator("img").count() == 0
    assert tab.title() != "ran"
    tick(tab, "1.1").tap()
    assert json.loads(tab.input_value("#laid-text"))["title"] == NASTY
