#!/usr/bin/env python3
"""Opens a built preview.html in Chromium and does what a person does with it.

    preview.py FOLDER SONG [--pictures FOLDER]

FOLDER is what `build` wrote; SONG a sound file to put beside a copy of the page. Every
check names what it holds the page against; the numbers come from report.json, the lengths
of bars from nothing but distances between pins.
"""

import json
import math
import pathlib
import shutil
import sys
import tempfile
import time

from chromium import Browser, hold


def apart(a, b):
    return math.hypot(a[0] - b[0], a[1] - b[1])


def angle(a, b):
    return abs((a - b + 180) % 360 - 180)


def mechanisms(report):
    """figure and limb -> what the report says of its mechanism as drilled."""
    return {(f["name"], l["name"]): l["mechanism"].get("as_drilled", l["mechanism"])
            for f in report["figures"] for l in f["limbs"] if "mechanism" in l}


def against_the_report(browser, report):
    """Moves through the show and measures on the drawing what the report states."""
    known, seen = mechanisms(report), {}
    length = browser.do("yardwright.state().duration")
    steps = 260
    script = f"""(() => {{ const all = [];
      for (let i = 0; i <= {steps}; i += 1) {{ yardwright.seek({length} * i / {steps}); all.push(yardwright.positions()); }}
      return all; }})()"""
    bars = 0
    for moment in browser.do(script):
        for at in moment:
            mechanism = known.get((at["figure"], at["limb"]))
            if not mechanism or at["coordinate"] is None:
                continue
            off, name = at["error_mm"], f"{at['figure']}.{at['limb']}"
            lengths, pins = mechanism.get("lengths_mm", {}), at["pins"]
            for size, a, b in (("crank", "shaft", "crank pin"), ("coupler", "crank pin", "lever pin"),
                               ("coupler", "crank pin", "slide pin"), ("coupler", "anchor", "lever pin")):
                if size not in lengths or a not in pins or b not in pins:
                    continue
                if mechanism["kind"] in ("cord", "ram", "cylinder") and size == "coupler":
                    continue
                got = apart(pins[a], pins[b])
                # Both ends of a bar may be off.
                hold(abs(got - lengths[size]) <= 2 * off,
                     f"{name}: {a} to {b} is {got:.3f} mm, {size} {lengths[size]:.3f} mm")
                bars += 1
            if "rocker" in lengths and "lever pin" in pins:
                got = apart(at["body"], pins["lever pin"])
                hold(abs(got - lengths["rocker"]) <= 2 * off, f"{name}: lever {got:.3f} mm")
                bars += 1
            low, high = mechanism.get("low_deg"), mechanism.get("high_deg")
            value = at.get("deg")
            if low is None:
                low, high, value = mechanism.get("low_mm"), mechanism.get("high_mm"), at.get("mm")
            if low is None or value is None:
                continue
            if "deg" in at and high - low < 360:
                middle = (low + high) / 2
                value -= 360 * round((value - middle) / 360)
            hold(low - 0.5 <= value <= high + 0.5, f"{name} at {value}, {low} to {high}")
            for end, there in (("low", low), ("high", high)):
                crank = mechanism.get(f"crank_at_{end}_deg")
                if crank is not None and at["counts"] == "crank" and angle(at["coordinate"], crank) < 0.3:
                    # It stands still there to first order.
                    hold(abs(value - there) < 0.3, f"{name}: {value} at its {end} end, {there}")
            seen.setdefault(name, []).append(value)
    moved = {n: (min(v), max(v)) for n, v in seen.items() if max(v) - min(v) > 1}
    hold(bars > 1000 and len(moved) > 5, f"{bars} bars measured, {len(moved)} limbs moved")
    for (figure, limb), mechanism in known.items():
        got = moved.get(f"{figure}.{limb}")
        # A crank that goes right round brings its limb from end to end.
        if got and mechanism.get("crank_turns_fully") and "sweep_deg" in mechanism:
            went = got[1] - got[0]
            hold(went > 0.93 * mechanism["sweep_deg"], f"{figure}.{limb} went {went:.1f} deg")
    return f"{bars} bar lengths measured, {len(moved)} limbs moved as reported"


def playing(browser):
    state = lambda: browser.do("yardwright.state()")
    browser.do("yardwright.seek(2)")
    browser.do("document.getElementById('play').click()")
    before = state()
    hold(before["playing"], "play does not play")
    time.sleep(0.7)
    after = state()
    hold(after["t"] > before["t"] + 0.2, f"time stands still: {before['t']} {after['t']}")
    browser.do("document.getElementById('play').click()")
    hold(not state()["playing"], "pause does not pause")
    browser.do("(() => { const s = document.getElementById('time'); s.value = 20.5; s.dispatchEvent(new Event('input')); })()")
    hold(abs(state()["t"] - 20.5) < 0.02, "the slider does not move the time")
    browser.do("""(() => { const s = document.getElementById('score'), b = s.getBoundingClientRect();
      s.dispatchEvent(new MouseEvent('click', { clientX: b.left + b.width / 2, clientY: b.top + 60, bubbles: true })); })()""")
    hold(abs(state()["t"] - 20.5) > 0.5, "a click in the score does not move the time")
    key = lambda k: browser.do(f"document.body.dispatchEvent(new KeyboardEvent('keydown', {{ key: '{k}', bubbles: true }}))")
    figure = state()["figure"]
    key("]")
    hold(state()["figure"] != figure, "] does not choose")
    key("[")
    hold(state()["figure"] == figure, "[ does not choose")
    browser.do("document.querySelectorAll('#plan .spot')[3].dispatchEvent(new MouseEvent('click', { bubbles: true }))")
    hold(state()["figure"] != figure, "a click on the plan does not choose")
    key("Home")
    key("ArrowRight")
    hold(0.05 < state()["t"] < 3, "an arrow does not go on by a beat")
    key("l")
    loop = state()["loop"]
    hold(loop and loop[1] > loop[0], "l does not loop")
    browser.do(f"yardwright.seek({loop[1]} - 0.15)")
    key(" ")
    time.sleep(0.6)
    hold(loop[0] <= state()["t"] < loop[1], "the loop is not kept")
    key(" ")
    key("h")
    hold(state()["half"], "h does not halve")


def kept(browser):
    browser.do("(yardwright.figure('bear'), yardwright.seek(17.25), 0)")
    before = browser.do("yardwright.state()")
    browser.do("window.old = 1")
    browser.ask("Page.reload")
    browser.until("!window.old && document.readyState === 'complete' && !!window.yardwright")
    after = browser.do("yardwright.state()")
    for field in ("show", "t", "figure", "playing", "half", "loop"):
        hold(before[field] == after[field], f"{field} is lost: {before[field]} {after[field]}")


def fits(browser, what):
    wide = browser.do("document.documentElement.scrollWidth - window.innerWidth")
    hold(wide <= 0, f"{what}: {wide} px wider than the window")


def main():
    folder, song = pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2])
    pictures = pathlib.Path(sys.argv[4]) if sys.argv[3:4] == ["--pictures"] else None
    report = json.loads((folder / "report.json").read_text())
    with tempfile.TemporaryDirectory() as scratch:
        page = pathlib.Path(scratch, "page", "preview.html")
        page.parent.mkdir()
        shutil.copy(folder / "preview.html", page)
        browser = Browser(pathlib.Path(scratch, "profile"))
        try:
            picture = lambda name: pictures and browser.picture(pictures / name)
            browser.size(1400, 1000)
            browser.open(page)
            browser.until("document.getElementById('sound').textContent.includes('not beside this page')")
            print(against_the_report(browser, report))
            playing(browser)
            kept(browser)
            picture("desk.png")
            shutil.copy(song, page.parent / song.name)
            browser.open(page)
            browser.until("yardwright.state().sound")
            # As it was built: the song's copy lies in the folder itself.
            (page.parent / song.name).unlink()
            shutil.copytree(folder / "songs", page.parent / "songs")
            browser.open(page)
            browser.until("yardwright.state().sound")
            cut = "(() => [...document.querySelectorAll('.wide, #limbs td')].filter((e) => e.scrollWidth > e.clientWidth + 1 && !e.classList.contains('name')).length)()"
            # With a title as long as somebody writes one, whatever the window.
            longer = "(() => { const s = document.querySelector('#limbs td.name').appendChild(document.createElement('small')); s.textContent = 'w'.repeat(300); return 0; })()"
            browser.do(longer)
            for wide in (1000, 1230, 1400):
                browser.size(wide, 1000)
                hold(browser.do(cut) == 0, f"the table of limbs is cut at {wide} px")
                inside = "(() => { const t = document.getElementById('limbs').getBoundingClientRect(); const p = document.getElementById('limbs').closest('.sheet').getBoundingClientRect(); return t.right <= p.right; })()"
                hold(browser.do(inside), f"the table of limbs is wider than its sheet at {wide} px")
            fits(browser, "desk")
            browser.do("(yardwright.seek(5), document.getElementById('play').click(), 0)")
            time.sleep(1.5)
            cost = browser.do("yardwright.state().frame_ms")
            heard = browser.do("(() => { const s = yardwright.state(); return s.song_s + s.delay_s - s.t; })()")
            hold(abs(heard) < 0.12, f"the song is {heard * 1000:.0f} ms from the motion")
            browser.do("(document.getElementById('play').click(), 0)")
            browser.prefers(color_scheme="dark")
            browser.size(390, 844, phone=True)
            browser.open(page)
            fits(browser, "phone")
            hold(browser.do(cut) == 0, "the table of limbs is cut at 390 px")
            hold(browser.do("getComputedStyle(document.body).backgroundColor") == "rgb(20, 20, 15)", "not dark")
            picture("phone.png")
            browser.prefers(reduced_motion="reduce")
            browser.do("sessionStorage.clear()")
            browser.open(page)
            state = browser.do("yardwright.state()")
            hold(not state["playing"] and not state["smooth"], "moves although less motion is asked for")
            hold(browser.do("!document.getElementById('smooth-pick').hidden"), "nobody can ask for motion")
            hold(not browser.wrong, "in the console: " + "; ".join(browser.wrong))
            print(f"played, scrubbed, looped, kept over a reload; a frame takes {cost:.1f} ms of script")
        finally:
            browser.end()


if __name__ == "__main__":
    try:
        main()
    except AssertionError as wrong:
        sys.exit(f"preview: {wrong}")
