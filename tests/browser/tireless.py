"""A hand that never rests: taps as fast as the screen answers, and goes through every room."""

from __future__ import annotations

from dataclasses import dataclass, field

from playwright.sync_api import Page

from tests.browser.hand import settled

SEEN = """() => Array.from(
    document.querySelectorAll("flt-semantics-host [flt-semantics-identifier]"),
    (each) => each.getAttribute('flt-semantics-identifier'))"""
SAID = """(mark) => {
    const found = document.querySelector(`flt-semantics-host [flt-semantics-identifier="${mark}"]`);
    return found ? found.ariaLabel || found.textContent : '';
}"""
# Taps what carries the mark, waits until the screen says something else, and until what it says
# then has stood for two frames.
TAP = """async (mark) => {
    const host = document.querySelector('flt-semantics-host');
    const found = () => host.querySelector(`[flt-semantics-identifier="${mark}"]`);
    const end = performance.now() + 30000;
    const words = () => host.textContent + Array.from(host.querySelectorAll(
        '[aria-label],[flt-semantics-identifier]'),
        (e) => e.ariaLabel + e.getAttribute('flt-semantics-identifier')
            + e.getAttribute('aria-selected') + e.getAttribute('aria-current')).join();
    const frame = () => new Promise((resolve) => requestAnimationFrame(resolve));
    while (!found()) {
        if (performance.now() > end) throw new Error(`no ${mark} on the screen`);
        await frame();
    }
    const before = words();
    const begun = performance.now();
    const target = found();
    (target.matches('[role=button]') ? target : target.querySelector('[role=button]') || target)
        .click();
    while (words() === before) {
        if (performance.now() > end) throw new Error(`${mark} led nowhere`);
        await frame();
    }
    const taken = performance.now() - begun;
    for (let still = words(), frames = 0; frames < 2; ) {
        await frame();
        const now = words();
        frames = now === still ? frames + 1 : 0;
        still = now;
    }
    return taken;
}"""


@dataclass
class Tireless:
    """Taps by mark; keeps how long the screen took to say something new after each, in ms."""

    page: Page
    times_ms: list[tuple[str, float]] = field(default_factory=list)

    def tap(self, *marks: str) -> None:
        """Tap these, one after the other."""
        for mark in marks:
            self.times_ms.append((mark, float(self.page.evaluate(TAP, mark))))

    def turn(self, size: dict[str, int]) -> None:
        """Turn the phone, and wait until Python has drawn the screen for it."""
        drawn = self.page.evaluate("() => bench.frames")
        self.page.set_viewport_size(size)  # type: ignore[arg-type]
        self.page.wait_for_function("(drawn) => bench.frames > drawn", arg=drawn)
        settled(self.page)

    def read(self, mark: str) -> str:
        """What carries this mark says."""
        return str(self.page.evaluate(SAID, mark))

    def sees(self) -> set[str]:
        """The marks on the screen."""
        return set(self.page.evaluate(SEEN))
