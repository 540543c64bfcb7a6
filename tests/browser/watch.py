#!/usr/bin/env python3
"""Writes a yard while its watch is open in Chromium, as a person at the bench does.

    watch.py YARDWRIGHT SHOWS

YARDWRIGHT is the program, SHOWS the folder with orchard.yard; a copy of it is written to.
Holds the page to what it promises: it follows every save, keeps the playhead, the chosen
figure and the loop, shows errors while the text is broken and goes on moving the last
good show meanwhile.
"""

import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import threading
import time

from chromium import Browser, hold

PANEL = "(document.getElementById('yardwright-watch') || {textContent: ''}).textContent"


def watching(program, yard):
    """A running watch, its address, and what it says, line by line."""
    said = []
    process = subprocess.Popen([program, "watch", str(yard)], stdout=subprocess.PIPE,
                               stderr=subprocess.STDOUT, text=True, encoding="utf-8")
    threading.Thread(target=lambda: said.extend(process.stdout), daemon=True).start()
    end = time.monotonic() + 60
    while time.monotonic() < end and process.poll() is None:
        found = re.search(r"http://127\.0\.0\.1:\d+", "".join(said))
        if found:
            return process, found.group(), said
        time.sleep(0.05)
    process.kill()
    sys.exit("watch tells no address:\n" + "".join(said))


def followed(browser, yard):
    """Saves, breaks and mends the text; the page keeps what was looked at."""
    text = yard.read_text(encoding="utf-8")
    browser.do("(yardwright.figure('bear'), yardwright.seek(17.25), 0)")
    before = browser.do("yardwright.state()")
    title = re.search(r'title "([^"]*)"', text).group(1)

    browser.do("window.old = 1")
    yard.write_text(text.replace(f'title "{title}"', 'title "Another title"', 1), encoding="utf-8")
    browser.until("!window.old && document.readyState === 'complete' && !!window.yardwright")
    hold("Another title" in browser.do("document.body.textContent"), "the new title is not shown")
    after = browser.do("yardwright.state()")
    for field in ("show", "t", "figure", "playing", "half", "loop"):
        hold(before[field] == after[field], f"{field} is lost: {before[field]} {after[field]}")

    browser.do("(window.old = 2, document.getElementById('play').click(), 0)")
    yard.write_text(text.replace("set bear ", "set baer ", 1), encoding="utf-8")
    browser.until(f"{PANEL}.includes('The yard has errors')")
    told = browser.do(PANEL)
    hold("bear" in told, f"the error does not name its word: {told}")
    here = browser.do("yardwright.state()")
    time.sleep(0.7)
    later = browser.do("yardwright.state()")
    hold(later["playing"] and later["t"] > here["t"], "the last good show stands still")
    hold(browser.do("window.old") == 2, "a broken text reloads the page")

    browser.do("(document.getElementById('play').click(), 0)")
    yard.write_text(text, encoding="utf-8")
    browser.until("!window.old && document.readyState === 'complete' && !!window.yardwright")
    hold(browser.do(PANEL) == "", "the error is still shown")
    hold(title in browser.do("document.body.textContent"), "the old title is not back")
    hold(browser.do("yardwright.state().figure") == "bear", "the figure is lost")


def main():
    program, shows = pathlib.Path(sys.argv[1]).resolve(), pathlib.Path(sys.argv[2])
    with tempfile.TemporaryDirectory() as scratch:
        yard = pathlib.Path(scratch, "shows", "orchard.yard")
        shutil.copytree(shows, yard.parent)
        process, address, said = watching(program, yard)
        browser = Browser(pathlib.Path(scratch, "profile"), allowed=(address, "data:", "blob:"))
        try:
            browser.size(1400, 1000)
            browser.open(address + "/preview.html")
            followed(browser, yard)
            # While it is being gone the page says so, and no more than that.
            hold(not browser.wrong, "in the console: " + "; ".join(browser.wrong))
            process.terminate()
            browser.until(f"{PANEL}.includes('cannot be reached')")
            print("followed a save, kept its place, told of an error and its mending, and of the end")
        except AssertionError:
            print("".join(said), file=sys.stderr)
            raise
        finally:
            browser.end()
            process.kill()


if __name__ == "__main__":
    try:
        main()
    except AssertionError as wrong:
        sys.exit(f"watch: {wrong}")
