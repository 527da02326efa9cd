"""A browser without a window, whose terminal can be read: what the app sends goes to a screen."""

import base64
import json
import re
import shutil
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pyte
from selenium.webdriver import ActionChains, Chrome, ChromeOptions, ChromeService
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.common.print_page_options import PrintOptions
from selenium.webdriver.support.wait import WebDriverWait
from tests.patience import PATIENCE

FLAGS = (
    "--headless=new",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
    "--window-size=1000,700",
)
BINARY = 2


def missing() -> str:
    """What is not installed of what this needs; empty where all is."""
    browser = shutil.which("chromium") or shutil.which("chromium-browser")
    if browser is None:
        return "Chromium is not installed"
    return "" if shutil.which("chromedriver") else "Chromium's driver is not installed"


class Browser:
    """One page. `asked` holds every address that the page asked for."""

    def __init__(self, folder: Path) -> None:
        options = ChromeOptions()
        options.binary_location = str(shutil.which("chromium") or shutil.which("chromium-browser"))
        for flag in (*FLAGS, f"--user-data-dir={folder / 'profile'}"):
            options.add_argument(flag)
        options.set_capability("goog:loggingPrefs", {"performance": "ALL", "browser": "ALL"})
        self.driver = Chrome(options, ChromeService(shutil.which("chromedriver")))
        self.asked: list[str] = []
        self._screen = pyte.Screen(120, 60)
        self._stream = pyte.ByteStream(self._screen)

    def open(self, address: str) -> None:
        """Go to the page and wait for the app's first byte."""
        self.driver.get(address)
        waiting = WebDriverWait(self.driver, PATIENCE)
        waiting.until(lambda d: d.find_elements(By.CSS_SELECTOR, "body.-first-byte"))
        self.driver.find_element(By.ID, "terminal").click()

    def type(self, keys: str) -> None:
        """These keys, into whatever has the focus; a carriage return is Enter."""
        ActionChains(self.driver).send_keys(keys.replace("\r", Keys.ENTER)).perform()

    def wait_for(self, so: Callable[[str], bool]) -> str:
        """Read until the terminal's text is so, and give it."""
        end = time.monotonic() + PATIENCE
        while time.monotonic() < end:
            self._read()
            text = "\n".join(row.rstrip() for row in self._screen.display)
            if so(text):
                return text
        raise AssertionError(f"never so; on the screen:\n{text}")

    def complaints(self) -> list[str]:
        """What the page wrote to the console as errors."""
        entries = self.driver.get_log("browser")  # type: ignore[no-untyped-call]
        return [entry["message"] for entry in entries if entry["level"] == "SEVERE"]

    def show(self, file: Path) -> None:
        """Go to a page on the disk."""
        self.driver.get(file.absolute().as_uri())
        self._read()

    def selected_text(self) -> str:
        """What "select all" takes in."""
        found: str = self.driver.execute_script(
            "getSelection().selectAllChildren(document.body); return getSelection().toString();"
        )
        return found

    def pages_in_print(self, width_cm: float, height_cm: float) -> int:
        """How many sheets of this size the page takes."""
        options = PrintOptions()
        options.page_width, options.page_height = width_cm, height_cm
        options.margin_top = options.margin_bottom = options.margin_left = options.margin_right = (
            0.9
        )
        pdf = base64.b64decode(self.driver.print_page(options))
        return len(re.findall(rb"/Type\s*/Page\b", pdf))

    def close(self) -> None:
        """End the browser."""
        self._read()
        self.driver.quit()

    def _read(self) -> None:
        for entry in self.driver.get_log("performance"):  # type: ignore[no-untyped-call]
            event: dict[str, Any] = json.loads(entry["message"])["message"]
            about = event["params"]
            if event["method"] == "Network.requestWillBeSent":
                self.asked.append(about["request"]["url"])
            elif event["method"] == "Network.webSocketFrameReceived":
                frame = about["response"]
                if frame["opcode"] == BINARY:
                    self._stream.feed(base64.b64decode(frame["payloadData"]))
