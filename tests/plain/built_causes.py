"""How often the one true cause of a built limb is named, with its true size.

    cargo build --release
    python3 tests/plain/built_causes.py target/release/yardwright [-v] [-n 100] [KIND ...]

Where `as_built.py` asks about lengths, holes and clamps, here anything may be the one thing
that is built otherwise: a length, a clamp, where a motor, a pivot, a guide, an anchor or an
eye stands, a roller, how far a slot leans. The ends of each limb are worked out here from
circles that meet, the law of cosines and dense samples (nothing of the program's closed
forms), then read: to a tenth, to a hundredth, to whole ones, or as one tape from tip to
tip. The program gets the drawing and the reading. Counted for each kind and reading:

first    the true cause stands first, alone, by a size that meets the reading here too
named    it is among what could as well be
wrong    it is named, but not by its true size
drawn    the drawing itself meets the reading, and that is told
help     `measured-unexplained`, but its help names the cause
missed   none of these
"""

import json
import math
import multiprocessing
import random
import subprocess
import sys
import tempfile
from pathlib import Path

from built_kinds import KINDS, CamSwing, at


def tape(kind, s, ends):
    """From tip to tip, mm; None where nobody would hold a tape there."""
    if kind.unit == "mm":
        return ends[1] - ends[0]
    tip = kind.tip(s)
    if tip is None:
        return None
    reach = math.dist(at(s, "pivot") if "pivot, up" in s else (300.0, 500.0), tip)
    return 2 * reach * math.sin(math.radians(ends[1] - ends[0]) / 2)


class Reading:
    def __init__(self, word, digits, tape=False):
        self.word, self.digits, self.tape = word, digits, tape
        self.read = 10.0 ** -digits if digits or not tape else 2.0

    def of(self, kind, drawn, ends):
        """What is written, and how far each number may miss (both in the limb's unit)."""
        if self.tape:
            far = tape(kind, drawn, ends)
            if far is None:
                return None
            return f"measured tip-to-tip {far:.{self.digits}f} mm"
        word = "measured stroke" if kind.unit == "mm" else "measured"
        return f"{word} {ends[0]:.{self.digits}f} {kind.unit} to {ends[1]:.{self.digits}f} {kind.unit}"

    def misses(self, kind, drawn, true, ends):
        """By how many readings such ends miss those of the truth."""
        if ends is None:
            return math.inf
        if self.tape:
            return abs(tape(kind, drawn, ends) - tape(kind, drawn, true)) / self.read
        turn = 360 * round((ends[0] + ends[1] - true[0] - true[1]) / 720) if kind.unit == "deg" else 0
        return max(abs(ends[0] - turn - true[0]), abs(ends[1] - turn - true[1])) / self.read


READINGS = [Reading("0.1", 1), Reading("0.01", 2), Reading("1", 0), Reading("tape 1 mm", 0, True)]


def yards(kind, rng, rounds):
    """Random true limbs: drawn sizes, the one cause, its true size, the true ends."""
    made = []
    for _ in range(200 * rounds):
        if len(made) == rounds:
            break
        drawn = kind.draw(rng)
        name = rng.choice(kind.causes(drawn))
        off = rng.choice([-1, 1]) * rng.uniform(2, 6)
        ends, plain = kind.ends(dict(drawn, **{name: drawn[name] + off})), kind.ends(drawn)
        if ends is None or plain is None or not 3 < ends[1] - ends[0] < 170 or plain[1] - plain[0] < 3:
            continue
        made.append((drawn, name, drawn[name] + off, ends, dict(kind.__dict__)))
    return made


def told(change):
    return change["built_mm"] if "built_mm" in change else change["built_deg"]


def right_by(kind, drawn, change):
    """The size that is told. A clamp that was left open is told from where it was found,
    which here counts from nought."""
    name = change["name"]
    if name == "clamp" and isinstance(kind, CamSwing):
        return drawn[name] + change["built_deg"] - change["drawn_deg"]
    return told(change)


def judged(kind, reading, case, limb, findings):
    """One of the words of the head of this file."""
    drawn, name, true, ends, _ = case
    built = limb.get("as_built")
    plain = reading.misses(kind, drawn, ends, kind.ends(drawn))
    if built is None:
        said = [f for f in findings if f["code"] == "measured-unexplained"]
        return "help" if any(name in (f.get("help") or "") for f in said) else "missed" if said else "silent"
    first = [built["alone"]] if "alone" in built else built["changes"]
    if not first:
        return "drawn" if plain <= 2 else "missed"

    def right(change):
        if change["name"] != name or "with" in change:
            return None
        value = right_by(kind, drawn, change)
        s = dict(drawn, **{name: value})
        near = abs(value - true)
        near = min(near, abs(near - 360)) if "built_deg" in change else near
        return reading.misses(kind, drawn, ends, kind.ends(s)) <= 2 and near < 8

    if len(first) == 1 and right(first[0]):
        return "first"
    listed = [right(c) for c in first + built.get("or", [])]
    if any(listed):
        return "named"
    return "wrong" if False in listed else "missed"


WORDS = ["first", "named", "wrong", "drawn", "help", "missed", "silent"]


def counted(job):
    """The rows of one kind, and what was lost."""
    title, program, rounds = job
    kind, rows = KINDS[title], []
    made = yards(kind, random.Random(11), rounds)
    for reading in READINGS:
        text, kept = "use parts\n" + kind.head, []
        for case in made:
            kind.__dict__.update(case[4])
            extra = reading.of(kind, case[0], case[3])
            if extra:
                text += f"figure f{len(kept)} {{ board plywood-9 900 mm by 1200 mm\n {kind.text(case[0], extra)} }}\n"
                kept.append(case)
        if not kept:
            continue
        with tempfile.TemporaryDirectory() as folder:
            file = Path(folder) / "truth.yard"
            file.write_text(text)
            done = subprocess.run([program, "check", str(file), "--format", "json"], capture_output=True, text=True)
            report = json.loads(done.stdout)
        figure, of_line = None, [None]
        for line in text.split("\n"):
            figure = line.split()[1] if line.startswith("figure ") else figure
            of_line.append(figure)
        count, lost = dict.fromkeys(WORDS, 0), []
        for n, case in enumerate(kept):
            kind.__dict__.update(case[4])
            figure = next(f for f in report["figures"] if f["name"] == f"f{n}")
            limb = next(l for l in figure["limbs"] if l["name"] == "arm")
            own = [d for d in report["diagnostics"] if d.get("line") and of_line[d["line"]] == f"f{n}"]
            word = judged(kind, reading, case, limb, own)
            count[word] += 1
            if word not in ("first", "named", "drawn"):
                said = [(d["code"], d["message"], d.get("help")) for d in own][:3]
                lost.append((word, n, case[1], case[0][case[1]], case[2], case[3], limb.get("as_built"), said))
        rows.append((title, reading.word, count, lost))
    return rows


def main():
    asked = sys.argv[2:]
    rounds = int(asked[asked.index("-n") + 1]) if "-n" in asked else 100
    kinds = [a for i, a in enumerate(asked) if not a.startswith("-") and (i == 0 or asked[i - 1] != "-n")]
    total = {}

    def line(title, reading, count):
        print(f"{title:24} {reading:10}" + "".join(f"{count[w]:8}" for w in WORDS), flush=True)

    print(f"{'kind':24} {'read to':10}" + "".join(f"{w:>8}" for w in WORDS))
    jobs = [(title, sys.argv[1], rounds) for title in KINDS if not kinds or any(k in title for k in kinds)]
    with multiprocessing.Pool(2) as pool:
        for rows in pool.imap(counted, jobs):
            for title, reading, count, lost in rows:
                line(title, reading, count)
                whole = total.setdefault(reading, dict.fromkeys(WORDS, 0))
                total[reading] = {w: whole[w] + count[w] for w in WORDS}
                for row in lost[:4] if "-v" in asked else []:
                    print("   ", row)
    for reading, count in total.items():
        line("all", reading, count)


if __name__ == "__main__":
    main()
