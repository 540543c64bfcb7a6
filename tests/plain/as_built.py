"""How often the true fault of a built limb is among what `measured` explains it by.

    cargo build --release
    python3 tests/plain/as_built.py target/release/yardwright [-v] [KIND ...]

For each kind of mechanism a hundred random limbs are built with one dimension off by a
known amount. Their ends are worked out here, by circles that meet and dense samples of
the whole turn (nothing of the program's closed forms), then read as a maker reads them:
to a tenth of a degree or millimetre, to whole ones, and to whole ones but written with
a nought behind the point. The program gets the drawn sizes and the reading. Counted:
`listed`, where the dimension that is truly off is named, and nearly by its true size;
`as drawn`, where the reading is too coarse to tell the limb from the drawing; `missed`.
"""

import json
import math
import random
import subprocess
import sys
import tempfile
from pathlib import Path

ROUNDS = 100
SAMPLES = 1440


def turned(x, y, a):
    return x * math.cos(a) - y * math.sin(a), x * math.sin(a) + y * math.cos(a)


def meet(p, r, q, s, side):
    """Where a circle of radius r about p meets one of radius s about q, left (+1) or
    right of the line from p to q; None where they do not."""
    dx, dy = q[0] - p[0], q[1] - p[1]
    d = math.hypot(dx, dy)
    if d == 0 or d > r + s or d < abs(r - s):
        return None
    along = (d * d + r * r - s * s) / (2 * d)
    up = side * math.sqrt(max(r * r - along * along, 0.0))
    return p[0] + (along * dx - up * dy) / d, p[1] + (along * dy + up * dx) / d


def extremes(value, start=0.0, end=2 * math.pi, wraps=True):
    """Least and largest of an angle (deg, unwrapped) or a length along a path: samples,
    then golden sections about the best. None where it does not go all along."""
    raw, last = [], None
    for i in range(SAMPLES + 1):
        v = value(start + (end - start) * i / SAMPLES)
        if v is None:
            return None
        if wraps and last is not None:
            v += 360 * round((last - v) / 360)
        last = v
        raw.append(v)

    def best(sign):
        i = max(range(len(raw)), key=lambda k: sign * raw[k])
        step = (end - start) / SAMPLES
        lo, hi = max(start, start + (i - 1) * step), min(end, start + (i + 1) * step)
        near = raw[i]

        def f(t):
            v = value(t)
            if v is None:
                return -math.inf
            return sign * (v + 360 * round((near - v) / 360) if wraps else v)

        g = (math.sqrt(5) - 1) / 2
        a, b = hi - g * (hi - lo), lo + g * (hi - lo)
        fa, fb = f(a), f(b)
        for _ in range(60):
            if fa > fb:
                hi, b, fb = b, a, fa
                a = hi - g * (hi - lo)
                fa = f(a)
            else:
                lo, a, fa = a, b, fb
                b = lo + g * (hi - lo)
                fb = f(b)
        return sign * max(fa, fb, sign * near, f(start), f(end))

    return best(-1), best(1)


def angle(p, q):
    return math.degrees(math.atan2(q[1] - p[1], q[0] - p[0]))


M, P = (300.0, 500.0), (300.0, 800.0)


def bar_limb(m, p, s, side):
    """Limb angle of a crank, rod and lever against the crank angle."""
    def at(t):
        pin = (m[0] + s["crank"] * math.cos(t), m[1] + s["crank"] * math.sin(t))
        far = meet(pin, s["rod"], p, s["lever"], side)
        return None if far is None else angle(p, far) - s["clamp"]
    return at


class FourBar:
    unit = "deg"
    sizes = ["crank", "rod", "lever", "clamp"]

    def draw(self, rng):
        return {"crank": rng.uniform(25, 45), "rod": rng.uniform(250, 330),
                "lever": rng.uniform(70, 120), "clamp": rng.uniform(120, 200)}

    def ends(self, s):
        return extremes(bar_limb(M, P, s, 1))

    def text(self, s, extra):
        return (f"limb arm {{ pivot (300, 800) mm  tip (650, 800) mm\n drive four-bar {{ motor wiper at (300, 500) mm "
                f"crank {s['crank']:.6f} mm rod {s['rod']:.6f} mm lever {s['lever']:.6f} mm at {s['clamp']:.6f} deg "
                f"assembly open }}\n {extra} }}")


class SliderCrank:
    unit = "mm"
    sizes = ["crank", "rod"]

    def draw(self, rng):
        self.offset = rng.uniform(-25, 25)
        return {"crank": rng.uniform(25, 50), "rod": rng.uniform(150, 260)}

    def ends(self, s):
        def at(t):
            x, y = s["crank"] * math.cos(t), s["crank"] * math.sin(t) + self.offset
            under = s["rod"] ** 2 - y * y
            return None if under < 0 else x + math.sqrt(under) - 80
        return extremes(at, wraps=False)

    def text(self, s, extra):
        return (f"motor m wiper at (300, {500 + self.offset:.6f}) mm\n limb arm {{ slide from (380, 500) mm to (680, 500) mm\n "
                f"drive slider-crank {{ motor m crank {s['crank']:.6f} mm rod {s['rod']:.6f} mm }}\n {extra} }}")


class ScotchYoke:
    unit = "mm"
    sizes = ["crank"]

    def draw(self, rng):
        self.tilt = rng.uniform(-30, 30)
        return {"crank": rng.uniform(25, 60)}

    def ends(self, s):
        k = math.tan(math.radians(self.tilt))
        return extremes(lambda t: s["crank"] * (math.cos(t) + math.sin(t) * k) + 80, wraps=False)

    def text(self, s, extra):
        return (f"motor m wiper at (300, 500) mm\n limb arm {{ slide from (220, 500) mm to (420, 500) mm\n "
                f"drive scotch-yoke {{ motor m crank {s['crank']:.6f} mm tilt {self.tilt:.6f} deg }}\n {extra} }}")


class SlottedArm:
    unit = "deg"
    sizes = ["crank", "slot's angle"]

    def draw(self, rng):
        self.offset = rng.uniform(-10, 10)
        return {"crank": rng.uniform(30, 60), "slot's angle": rng.uniform(240, 290)}

    def ends(self, s):
        def at(t):
            x, y = M[0] + s["crank"] * math.cos(t) - 300, M[1] + s["crank"] * math.sin(t) - 700
            far = math.hypot(x, y)
            return math.degrees(math.atan2(y, x) - math.asin(self.offset / far)) - s["slot's angle"]
        return extremes(at)

    def text(self, s, extra):
        return (f"limb arm {{ pivot (300, 700) mm tip (600, 700) mm mount behind\n drive slotted-arm {{ motor wiper at (300, 500) mm "
                f"crank {s['crank']:.6f} mm slot 200 mm offset {self.offset:.6f} mm at {s[self.sizes[1]]:.6f} deg }}\n {extra} }}")


OWN_LENGTHS = ["length drawn in", "length pushed out", "length with the same stroke"]


def own_lengths(closed, stroke):
    """A ram's own lengths as drawn, as the program names the ways they may be off."""
    return dict(zip(OWN_LENGTHS, [closed, closed + stroke, closed]))


def reach(s, closed):
    """From which length to which it really goes: pins that stand further apart by an
    eye that is screwed out move both."""
    further = s[OWN_LENGTHS[2]] - closed
    return s[OWN_LENGTHS[0]] + further, s[OWN_LENGTHS[1]] + further


class Strut:
    unit = "deg"

    def __init__(self, word, sizes):
        self.word, self.sizes = word, sizes

    def draw(self, rng):
        self.anchor = (rng.uniform(190, 240), rng.uniform(220, 260))
        self.closed = rng.uniform(200, 210)
        return {"lever": rng.uniform(80, 130), "clamp": rng.uniform(-150, 150), **own_lengths(self.closed, 100.0)}

    def ends(self, s):
        a, p = self.anchor, (200.0, 500.0)
        def at(length):
            far = meet(a, length, p, s["lever"], 1)
            return None if far is None else angle(p, far) - s["clamp"]
        return extremes(at, *reach(s, self.closed))

    def text(self, s, extra):
        motor = "ram-100" if self.word == "ram" else "cylinder-16"
        return (f"limb arm {{ pivot (200, 500) mm tip (600, 500) mm\n drive {self.word} {{ motor {motor} "
                f"anchor ({self.anchor[0]:.6f}, {self.anchor[1]:.6f}) mm length {self.closed:.6f} to {self.closed + 100:.6f} mm "
                f"lever {s['lever']:.6f} mm at {s['clamp']:.6f} deg assembly open }}\n {extra} }}")


class StrutSlide:
    unit = "mm"

    def __init__(self, sizes):
        self.sizes = sizes

    def draw(self, rng):
        self.beside, self.closed = rng.uniform(-40, 40), rng.uniform(195, 205)
        return {"pin along the limb": rng.uniform(5, 40), **own_lengths(self.closed, 100.0)}

    def ends(self, s):
        def at(length):
            return -80 + math.sqrt(length * length - self.beside ** 2) - s["pin along the limb"]
        return extremes(at, *reach(s, self.closed), wraps=False)

    def text(self, s, extra):
        return (f"limb arm {{ slide from (250, 300) mm to (250, 620) mm\n drive cylinder {{ motor cylinder-16 "
                f"anchor ({250 + self.beside:.6f}, 220) mm length {self.closed:.6f} to {self.closed + 100:.6f} mm "
                f"lever {s['pin along the limb']:.6f} mm at 0 deg assembly open }}\n {extra} }}")


class Servo:
    """Arm, rod and lever on a servo that turns 45 deg either way; the limb stands at
    `zero` at the servo's own 0. Of the ways to put the drawn parts together the one that
    pushes best is built."""
    unit = "deg"
    sizes = ["servo arm", "rod", "lever", "clamp", "servo arm's angle"]
    head = "motor horn { kind servo voltage 6 V slew 0.15 s per 60 deg pulse 1000 us at -45 deg 2000 us at 45 deg }\n"
    travel = 45.0
    pivot = (300.0, 500.0)

    def __init__(self, parallel):
        self.parallel = parallel

    def pin(self, s, own=0.0):
        t = math.radians(s["servo arm's angle"] + own)
        return self.shaft[0] + s["servo arm"] * math.cos(t), self.shaft[1] + s["servo arm"] * math.sin(t)

    def draw(self, rng):
        way, far = math.radians(rng.uniform(0, 360)), rng.uniform(90, 220)
        self.shaft = (self.pivot[0] + far * math.cos(way), self.pivot[1] + far * math.sin(way))
        self.side = rng.choice([-1, 1])
        arm = rng.uniform(20, 35)
        s = {"servo arm": arm, "rod": far, "lever": arm, "clamp": rng.uniform(-170, 170)}
        # Arm and lever stand to the same side of the line of centres, near square to it.
        square = math.degrees(way) + 90 * self.side
        s["servo arm's angle"] = square + (0 if self.parallel else rng.uniform(-20, 20))
        if not self.parallel:
            s["lever"] = rng.uniform(1.2, 2.5) * arm
            s["rod"] = far + rng.uniform(-0.3, 0.3) * arm
        limb = self.limb(s)(0.0)
        if limb is None or not self.best(s, limb + s["clamp"]):
            return self.draw(rng)
        self.zero = limb
        return s

    def limb(self, s):
        def at(own):
            far = meet(self.pin(s, own), s["rod"], self.pivot, s["lever"], self.side)
            return None if far is None else angle(self.pivot, far) - s["clamp"]
        return at

    def push(self, s):
        """The worst push angle between rod and lever over the travel; 0 where it locks."""
        worst = 90.0
        for i in range(181):
            pin = self.pin(s, -self.travel + self.travel * i / 90)
            far = meet(pin, s["rod"], self.pivot, s["lever"], self.side)
            if far is None:
                return 0.0
            between = abs(angle(far, pin) - angle(far, self.pivot)) % 180
            worst = min(worst, between, 180 - between)
        return worst

    def best(self, s, lever_at):
        """Whether the drawn arm pushes better than the other one that puts the lever
        there with its pin on the same side."""
        a = math.radians(lever_at)
        far = (self.pivot[0] + s["lever"] * math.cos(a), self.pivot[1] + s["lever"] * math.sin(a))
        own = self.push(s)
        for turn in (-1, 1):
            pin = meet(self.shaft, s["servo arm"], far, s["rod"], turn)
            other = dict(s, **{"servo arm's angle": angle(self.shaft, pin)}) if pin else s
            apart = abs(other["servo arm's angle"] - s["servo arm's angle"]) % 360
            if 1 < apart < 359 and self.push(other) > own - 1:
                return False
        return own > 15

    def ends(self, s):
        return extremes(self.limb(s), -self.travel, self.travel)

    def text(self, s, extra):
        a = math.radians(self.zero)
        return (f"limb arm {{ pivot (300, 500) mm tip ({300 + 200 * math.cos(a):.6f}, {500 + 200 * math.sin(a):.6f}) mm\n "
                f"drive servo {{ motor horn at ({self.shaft[0]:.9f}, {self.shaft[1]:.9f}) mm crank {s['servo arm']:.9f} mm "
                f"rod {s['rod']:.9f} mm lever {s['lever']:.9f} mm at {s['clamp']:.9f} deg zero {self.zero:.9f} deg "
                f"assembly {'open' if self.side > 0 else 'crossed'} }}\n {extra} }}")


class ServoStraight:
    unit = "deg"
    sizes = ["angle at the servo's zero"]
    head = Servo.head

    def draw(self, rng):
        return {self.sizes[0]: rng.uniform(-170, 170)}

    def ends(self, s):
        return s[self.sizes[0]] - Servo.travel, s[self.sizes[0]] + Servo.travel

    def text(self, s, extra):
        return (f"limb arm {{ pivot (300, 500) mm tip (500, 500) mm\n drive servo {{ motor horn at (300, 500) mm "
                f"zero {s[self.sizes[0]]:.6f} deg }}\n {extra} }}")


class Forearm:
    """Carried by the upper arm, its rod anchored on the board; or on the board, pushed
    by a pin on the upper arm."""
    unit = "deg"
    sizes = ["rod", "lever", "clamp"]
    upper = {"crank": 30.0, "rod": 217.0, "lever": 90.0, "clamp": 17.5}

    def __init__(self, rides):
        self.rides = rides

    def draw(self, rng):
        if self.rides:
            return {"rod": rng.uniform(100, 130), "lever": rng.uniform(35, 60), "clamp": rng.uniform(-170, 170)}
        return {"rod": rng.uniform(180, 230), "lever": rng.uniform(60, 100), "clamp": rng.uniform(-170, 170)}

    def ends(self, s):
        above = bar_limb((420.0, 500.0), (300.0, 700.0), self.upper, 1)
        def at(t):
            a = math.radians(above(t) - 180.0)
            def moved(x, y):
                dx, dy = turned(x - 300.0, y - 700.0, a)
                return 300.0 + dx, 700.0 + dy
            if self.rides:
                near, pivot = (250.0, 650.0), moved(120.0, 700.0)
            else:
                near, pivot = moved(200.0, 700.0), (200.0, 500.0)
            far = meet(near, s["rod"], pivot, s["lever"], -1)
            return None if far is None else angle(pivot, far) - s["clamp"]
        return extremes(at)

    def text(self, s, extra):
        u = self.upper
        head = (f"motor elbow wiper at (420, 500) mm\n limb upper {{ pivot (300, 700) mm tip (120, 700) mm\n drive four-bar {{ motor elbow "
                f"crank {u['crank']} mm rod {u['rod']} mm lever {u['lever']} mm at {u['clamp']} deg assembly open }} }}\n ")
        at, anchor = ("on upper { pivot (120, 700) mm tip (120, 500) mm", "(250, 650)") if self.rides else \
            ("{ pivot (200, 500) mm tip (200, 300) mm", "(200, 700)")
        return head + (f"limb arm {at}\n drive four-bar from upper {{ anchor {anchor} mm rod {s['rod']:.6f} mm "
                       f"lever {s['lever']:.6f} mm at {s['clamp']:.6f} deg assembly crossed }}\n {extra} }}")


class Cord:
    """From a crank over one eye to a lever, held taut by a spring."""
    unit = "deg"
    sizes = ["crank", "lever", "clamp", "cord"]
    motor, eye, pivot = (300.0, 300.0), (220.0, 400.0), (300.0, 600.0)

    def draw(self, rng):
        return {"crank": rng.uniform(25, 35), "lever": rng.uniform(80, 100),
                "clamp": rng.uniform(165, 180), "cord": rng.uniform(335, 345)}

    def ends(self, s):
        def at(t):
            pin = self.motor[0] + s["crank"] * math.cos(t), self.motor[1] + s["crank"] * math.sin(t)
            far = meet(self.eye, s["cord"] - math.dist(pin, self.eye), self.pivot, s["lever"], 1)
            return None if far is None else angle(self.pivot, far) - s["clamp"]
        return extremes(at)

    def text(self, s, extra):
        return (f"motor m wiper at (300, 300) mm\n limb arm {{ pivot (300, 600) mm tip (560, 600) mm weighed 0.3 kg\n "
                f"drive cord {{ motor m crank {s['crank']:.6f} mm lever {s['lever']:.6f} mm at {s['clamp']:.6f} deg "
                f"guides (220, 400) mm length {s['cord']:.6f} mm assembly open return spring 2 N.m }}\n {extra} }}")


KINDS = {
    "cord": Cord(),
    "four-bar": FourBar(), "slotted-arm": SlottedArm(), "slider-crank": SliderCrank(),
    "scotch-yoke": ScotchYoke(), "ram": Strut("ram", ["lever", "clamp"]), "cylinder": Strut("cylinder", ["lever", "clamp"]),
    "ram's own lengths": Strut("ram", OWN_LENGTHS), "cylinder's lengths": Strut("cylinder", OWN_LENGTHS),
    "cylinder on a slide": StrutSlide(["pin along the limb"]), "its lengths on a slide": StrutSlide(OWN_LENGTHS),
    "servo with a rod": Servo(False), "servo, parallelogram": Servo(True), "servo on the pivot": ServoStraight(), "forearm that rides": Forearm(True), "forearm on the board": Forearm(False),
}
READINGS = {"0.1": lambda v: f"{round(v, 1):.1f}", "1": lambda v: f"{round(v)}", "1 written 1.0": lambda v: f"{round(v)}.0"}


def apart(told, true):
    """How far a size that is told is from the true one; angles in the same turn."""
    if "built_mm" in told:
        return abs(told["built_mm"] - true)
    return abs((told["built_deg"] - true + 180) % 360 - 180)


def yards(kind, rng):
    """Random true limbs: drawn sizes, which is off, its true size, the true ends."""
    made = []
    while len(made) < ROUNDS:
        drawn = kind.draw(rng)
        name = rng.choice(kind.sizes)
        off = rng.choice([-1, 1]) * rng.uniform(2, 6)
        true = dict(drawn, **{name: drawn[name] + off})
        ends, own = kind.ends(true), kind.ends(drawn)
        if ends is None or own is None or ends[1] - ends[0] < 3 or ends[1] - ends[0] > 200:
            continue
        made.append((drawn, name, true[name], ends, getattr(kind, "__dict__", {}).copy()))
    return made


def main():
    program = sys.argv[1]
    print(f"{'kind':22} {'read to':14} listed  as drawn  missed  largest error of the size listed")
    asked = [a for a in sys.argv[2:] if a != "-v"]
    for title, kind in KINDS.items():
        if asked and not any(a in title for a in asked):
            continue
        made = yards(kind, random.Random(7))
        for reading, read in READINGS.items():
            text = "use parts\n" + getattr(kind, "head", "")
            for i, (drawn, _, _, (low, high), more) in enumerate(made):
                kind.__dict__.update(more)
                word = "measured stroke" if kind.unit == "mm" else "measured"
                extra = f"{word} {read(low)} {kind.unit} to {read(high)} {kind.unit}"
                text += f"figure f{i} {{ board plywood-9 900 mm by 1200 mm\n {kind.text(drawn, extra)} }}\n"
            with tempfile.TemporaryDirectory() as folder:
                file = Path(folder) / "truth.yard"
                file.write_text(text)
                done = subprocess.run([program, "check", str(file), "--format", "json"], capture_output=True, text=True)
                report = json.loads(done.stdout)
            limbs = {f["name"]: next(l for l in f["limbs"] if l["name"] == "arm") for f in report["figures"]}
            listed = drawn_so = missed = 0
            worst, lost = 0.0, []
            for i, (drawn, name, true, ends, _) in enumerate(made):
                built = limbs[f"f{i}"].get("as_built")
                found = built and [c for c in built["changes"] + built.get("or", []) if c["name"] == name]
                if built and not built["changes"]:
                    drawn_so += 1
                elif found:
                    listed += 1
                    worst = max(worst, min(apart(c, true) for c in found))
                else:
                    missed += 1
                    lost.append((i, name, drawn[name], true, ends, built))
            print(f"{title:22} {reading:14} {listed:6}  {drawn_so:8}  {missed:6}  {worst:8.2f}")
            if lost and "-v" in sys.argv:
                for row in lost[:3]:
                    print("   ", row)


if __name__ == "__main__":
    main()
