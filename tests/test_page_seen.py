"""What is seen of the page for a phone, and who can use it: the floor, sizes, contrast, without scripts."""

from itertools import pairwise

import pytest
from browser import heading, tick
from pages import SHOWN, Page, hostile, page_of


def test_the_left_hand_is_remembered(show):
    tab = show()

    def sides():
        button, plank = tab.locator("#pieces button").first, tab.locator("#pieces .plank").first
        return button.bounding_box()["x"] < plank.bounding_box()["x"]

    assert not sides()
    tab.get_by_role("button", name="Left-handed").tap()
    assert sides()
    tab.reload()
    assert sides()
    assert tab.locator("#hand").get_attribute("aria-pressed") == "true"


def view(tab):
    return [float(part) for part in tab.locator("#map").get_attribute("viewBox").split()]


def test_the_floor_marks_the_row_and_what_is_laid(show):
    tab = show()
    tick(tab, "1.1").tap()

    def named(name):
        found = tab.locator(f"#map path.{name}").all()
        return {path.get_attribute("data-piece") for path in found}

    assert named("is-laid") == {"1.1"}
    assert named("is-now") == {"1.1", "1.2"}
    tab.locator("#next").tap()
    assert named("is-now") == {"2.1", "2.2"}
    assert "Row 2, Passage" in tab.locator("#map").get_attribute("aria-label")


def test_the_floor_comes_closer_follows_the_row_and_goes_back(show):
    tab = show()
    whole = view(tab)
    tab.locator("#closer").tap()
    assert view(tab)[2] == pytest.approx(whole[2] / 1.6)
    tab.locator("#farther").tap()
    assert view(tab) == pytest.approx(whole)
    tab.locator("#farther").tap()
    assert view(tab) == pytest.approx(whole)
    for _ in range(4):
        tab.locator("#closer").tap()
    close = view(tab)
    tab.locator("#next").tap()
    assert view(tab)[2] == pytest.approx(close[2])
    assert view(tab)[:2] != close[:2]
    tab.locator("#all-floor").tap()
    assert view(tab) == pytest.approx(whole)
    tab.locator("#to-row").tap()
    assert tab.locator("#map.has-names").count() == 1


def test_two_fingers_enlarge_the_floor_and_one_moves_it(show):
    tab = show()
    tab.locator("#map").scroll_into_view_if_needed()
    box = tab.locator("#map").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    session = tab.context.new_cdp_session(tab)

    def touch(kind, *points):
        points = [{"x": x + dx, "y": y + dy, "id": nth} for nth, (dx, dy) in enumerate(points)]
        session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    whole = view(tab)
    touch("touchStart", (-20, 0), (20, 0))
    for out in (30, 45, 60):
        touch("touchMove", (-out, 0), (out, 0))
    touch("touchEnd")
    close = view(tab)
    assert close[2] < whole[2] / 2
    touch("touchStart", (0, 0))
    for along in (10, 30, 50):
        touch("touchMove", (-along, 0))
    touch("touchEnd")
    assert view(tab)[0] > close[0]
    assert view(tab)[2] == pytest.approx(close[2])


def test_a_tap_on_the_floor_goes_to_that_row(show):
    tab = show()
    tab.locator("#map path[data-piece='3.1']").tap()
    assert heading(tab) == "Row 3, Passage"


@pytest.mark.parametrize("plan", [SHOWN, hostile()], ids=["plain", "hostile"])
def test_no_page_is_wider_than_its_window(show, plan):
    tab = show(plan)
    tab.locator("#all summary").click()
    tab.locator("#row-laid").click()
    for width in (320, 390, 768, 1280):
        tab.set_viewport_size({"width": width, "height": 800})
        assert tab.evaluate("document.documentElement.scrollWidth") <= width


def test_no_length_is_parted_or_cut_off(show):
    """On the smallest screen, and for the longest lengths there are."""
    tab = show(viewport={"width": 320, "height": 640})
    for text in ('~24-11/16"', "~12' 11-11/16\"", "~123' 11-63/64\"", "~12345.6 mm"):
        tab.evaluate(f"plan.rows[1].pieces[0].length = {text!r}")
        tab.locator("#next").tap()
        length = tab.locator("#pieces .length").first
        lines = length.evaluate("e => e.clientHeight / parseFloat(getComputedStyle(e).lineHeight)")
        assert (length.text_content(), round(lines)) == (text, 1)
        assert length.evaluate("e => e.scrollWidth <= e.clientWidth")
        tab.locator("#previous").tap()


def test_targets_are_large_and_apart(show):
    tab = show()
    boxes = {
        found.text_content() or found.get_attribute("id"): found.bounding_box()
        for found in tab.locator("button, a, select, summary, input").all()
        if found.is_visible()
    }
    assert len(boxes) > 12
    for name, box in boxes.items():
        assert min(box["width"], box["height"]) >= 48, name
    ticks = [found.bounding_box() for found in tab.locator("#row button").all()]
    for above, below in pairwise(ticks):
        assert below["y"] - above["y"] - above["height"] >= 12


CONTRAST = """() => {
  const parts = (colour) => colour.match(/[\\d.]+/g).map(Number);
  const light = (colour) => parts(colour).slice(0, 3).map((part) => part / 255)
    .map((part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4))
    .reduce((sum, part, nth) => sum + part * [0.2126, 0.7152, 0.0722][nth], 0);
  const behind = (element) => {
    const colour = getComputedStyle(element).backgroundColor;
    const seen = parts(colour).length < 4 || parts(colour)[3] > 0;
    return seen || !element.parentElement ? colour : behind(element.parentElement);
  };
  const texts = [...document.body.querySelectorAll(":not(script):not(style):not(noscript):not(svg *)")]
    .filter((element) => element.checkVisibility())
    .filter((element) => [...element.childNodes].some((node) => node.nodeType === 3 && node.data.trim()));
  return texts.map((element) => {
    const [a, b] = [light(getComputedStyle(element).color), light(behind(element))].sort((x, y) => y - x);
    return [element.tagName + " " + element.textContent.trim().slice(0, 30), (a + 0.05) / (b + 0.05)];
  });
}"""


def test_text_stands_out_in_the_sun(show):
    """WCAG 2.2, 1.4.6 (level AAA): a contrast of 7 to 1, computed as it says."""
    tab = show()
    tick(tab, "1.1").tap()
    tab.evaluate("document.getElementById('storage').hidden = false")
    tab.evaluate("document.getElementById('storage').textContent = 'Ticks cannot be kept'")
    tab.locator("#all summary").tap()
    papers = set()
    for scheme in ("light", "dark"):
        tab.emulate_media(color_scheme=scheme)
        papers.add(tab.evaluate("getComputedStyle(document.body).backgroundColor"))
        found = tab.evaluate(CONTRAST)
        assert len(found) > 40
        assert [text for text in found if text[1] < 7] == [], scheme
    assert papers == {"rgb(255, 255, 255)", "rgb(0, 0, 0)"}


def test_headings_and_regions_are_in_order(show):
    tab = show()
    levels = [int(found.evaluate("e => e.tagName[1]")) for found in tab.locator("h1, h2, h3").all()]
    assert levels == [1, *[2] * (len(levels) - 1)]
    for role in ("main", "navigation", "banner"):
        assert tab.get_by_role(role).count() == 1
    assert tab.locator("svg").get_attribute("role") == "img"


def test_without_scripts_all_rows_can_be_read(show):
    tab = show(java_script_enabled=False)
    assert tab.locator("noscript").is_visible()
    assert tab.locator("#all table").is_visible()
    assert not tab.locator("#row").is_visible()
    ids = [piece["id"] for row in Page(page_of(SHOWN)).data["rows"] for piece in row["pieces"]]
    shown = [cell.split()[0] for cell in tab.locator("tbody td:first-child").all_text_contents()]
    assert shown == ids
    assert tab.locator("#map").is_visible()


def test_nothing_moves_by_itself(show):
    tab = show(reduced_motion="reduce")
    moving = "[...document.querySelectorAll('*')].filter((e) => parseFloat(getComputedStyle(e).transitionDuration) "
    moving += "|| getComputedStyle(e).animationName !== 'none').length"
    assert tab.evaluate(moving) == 0
    assert tab.evaluate("getComputedStyle(document.documentElement).scrollBehavior") == "auto"
