"""A builder at the browser: presses what is written on the page, never an address made up by the test."""

import re

from playwright.sync_api import Page, TimeoutError, expect


class Builder:
    """Drives one page."""

    def __init__(self, page: Page, root: str):
        self.page, self.root = page, root

    def open(self, path):
        answer = self.page.goto(self.root + path)
        assert answer.status < 400, f"{answer.status} {path}"
        return self

    def press(self, name, within=None):
        """Press a button or a link that looks like one, by its words, and wait for what comes of it."""
        place = within or self.page.locator("main")
        spot = place.get_by_role("button", name=name, exact=True).or_(place.get_by_role("link", name=name, exact=True))
        try:
            spot.first.click()
        except TimeoutError:
            raise AssertionError(f"nothing to press called “{name}” on {self.page.url}: {self.text()}") from None
        self.settle()

    def unfold(self, words):
        self.page.locator("summary", has_text=words).first.click()

    def settle(self):
        """Wait until navigation and HTMX requests are over."""
        self.page.wait_for_load_state("load")
        expect(self.page.locator(".htmx-request")).to_have_count(0)

    def fill(self, within=None, **fields):
        place = within or self.page.locator("main")
        for name, value in fields.items():
            spot = place.locator(f"[name={name}]").first
            kind = spot.get_attribute("type") or ""
            if value is True or value is False:
                spot.set_checked(value)
            elif kind == "checkbox":
                for one in value.split(", "):
                    place.locator(f'[name={name}][value="{one}"]').check()
            elif kind == "radio":
                place.locator(f'[name={name}][value="{value}"]').check()
            elif spot.locator("option").count():
                spot.select_option(value)
            else:
                spot.fill(str(value))

    def sees(self, *texts):
        for text in texts:
            try:
                expect(self.page.locator("body")).to_contain_text(text)
            except AssertionError:
                raise AssertionError(f"“{text}” does not stand on {self.page.url}: {self.text()}") from None

    def sees_not(self, text):
        expect(self.page.locator("body")).not_to_contain_text(text)

    def text(self):
        return re.sub(r"\s+", " ", self.page.locator("body").inner_text())

    def get(self, path):
        """The bytes behind an address, in this session."""
        answer = self.page.request.get(self.root + path)
        assert answer.ok, f"{answer.status} {path}"
        return answer.body()
