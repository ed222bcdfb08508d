"""What the battery is spent on: the screen while one marks, a minute after the last touch; and a low one is said."""

from __future__ import annotations

from playwright.sync_api import expect

from tests.browser.phone import Phone

# The browser's lock on the screen, written down; `isSaving` refuses it as a phone that saves power does.
WATCHED_LOCK = """
window.locks = [];
Object.defineProperty(Navigator.prototype, "wakeLock", { get: () => ({
    request: async (type) => {
        if (window.isSaving) throw new DOMException("The phone saves power.", "NotAllowedError");
        const lock = new EventTarget();
        lock.type = type;
        lock.isHeld = true;
        lock.release = async () => { lock.isHeld = false; lock.dispatchEvent(new Event("release")); };
        window.locks.push(lock);
        return lock;
    },
}) });
"""
HELD = "locks.map((each) => each.isHeld)"

BATTERY = """
window.battery = Object.assign(new EventTarget(), { level: 0.5, charging: false });
window.fill = (level, charging) => {
    Object.assign(battery, { level, charging });
    battery.dispatchEvent(new Event("levelchange"));
};
Navigator.prototype.getBattery = async () => battery;
"""


def test_the_screen_stays_on_in_a_class_until_a_minute_after_the_last_touch(phone: Phone) -> None:
    phone.before_the_page(WATCHED_LOCK)
    phone.page.clock.install()
    phone.join()
    assert phone.page.evaluate(HELD) == []  # nothing is marked on the list of classes
    phone.open_class()
    phone.page.wait_for_function("() => locks.length === 1")
    # Time goes on by itself as well, by however long the machine takes.
    phone.page.clock.run_for(45_000)
    phone.next.tap()
    phone.page.clock.run_for(45_000)
    assert phone.page.evaluate(HELD) == [True]
    phone.page.clock.run_for(16_000)
    phone.page.wait_for_function("() => !locks[0].isHeld")
    phone.page.keyboard.press("Tab")
    phone.page.wait_for_function("() => locks.length === 2")
    # Hidden, the browser lets go of it by itself; seen again, it is taken again.
    phone.page.evaluate("locks[1].release()")
    phone.page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    phone.page.wait_for_function("() => locks.length === 3")
    assert phone.page.evaluate(HELD) == [False, False, True]


def test_a_browser_that_refuses_or_lacks_the_lock_marks_all_the_same(phone: Phone) -> None:
    phone.before_the_page(WATCHED_LOCK + "window.isSaving = true;")
    phone.join()
    phone.open_class()
    phone.end("short, strong topline").tap()
    phone.expect_degree("short, strong topline", 1)
    phone.before_the_page('Object.defineProperty(Navigator.prototype, "wakeLock", { get: () => undefined });')
    phone.page.reload()
    phone.end("short, strong topline").tap()
    phone.expect_degree("short, strong topline", 2)


def test_a_battery_at_20_per_cent_is_said_once_in_a_line_that_can_be_put_away(phone: Phone) -> None:
    phone.before_the_page(BATTERY)
    phone.join()
    phone.open_class()
    line = phone.page.locator("update-bar [role=status]")
    phone.page.evaluate("fill(0.21, false)")
    expect(line).to_have_count(0)
    phone.page.evaluate("fill(0.2, true)")
    expect(line).to_have_count(0)
    phone.page.evaluate("fill(0.2, false)")
    expect(line).to_contain_text("Battery at 20 %.")
    line.get_by_role("button", name="Good").tap()
    expect(line).to_have_count(0)
    phone.page.evaluate("fill(0.15, false)")
    phone.end("short, strong topline").tap()
    phone.expect_degree("short, strong topline", 1)
    assert line.count() == 0
