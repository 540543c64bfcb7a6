"""The limbs that `built_causes.py` builds otherwise than drawn: how each is drawn, written
as text, and how far it goes, by circles that meet, the law of cosines and dense samples.
"""

import math

import as_built
from as_built import angle, bar_limb, extremes, meet, turned

as_built.SAMPLES = 360

AT = {"motor": ("motor, across", "motor, up"), "pivot": ("pivot, across", "pivot, up"),
      "guide": ("guide, across", "guide, up"), "anchor": ("anchor, across", "anchor, up"),
      "eye": ("eye, across", "eye, up")}


def put(what, x, y):
    """A place, as the two sizes the program names it by."""
    return dict(zip(AT[what], (x, y)))


def at(s, what):
    return tuple(s[name] for name in AT[what])


def mm(p):
    return f"({p[0]:.6f}, {p[1]:.6f}) mm"


def tip_of(p):
    return p[0] + 250, p[1] + 60


def point(p, r, degrees):
    a = math.radians(degrees)
    return p[0] + r * math.cos(a), p[1] + r * math.sin(a)


class Kind:
    """Draws a limb as a dict of sizes, tells its ends, writes it as text."""
    unit, head = "deg", ""
    fixed = ()

    def causes(self, s):
        return [name for name in s if name not in self.fixed]

    def tip(self, s):
        return tip_of(at(s, "pivot"))

    def limb(self, s, drive, extra):
        p = at(s, "pivot")
        return f"limb arm {{ pivot {mm(p)} tip {mm(self.tip(s))} {self.words()}\n drive {drive}\n {extra} }}"

    def words(self):
        return ""


class FourBar(Kind):
    def __init__(self, behind):
        self.behind = behind

    def draw(self, rng):
        self.side = rng.choice([1, -1])
        m = (300 + rng.uniform(-80, 80), 500 + rng.uniform(-40, 40))
        p = (300 + rng.uniform(-60, 60), 800 + rng.uniform(-40, 40))
        far = math.dist(m, p)
        return {"crank": rng.uniform(25, 45), "rod": far + rng.uniform(-40, 20), "lever": rng.uniform(75, 120),
                "clamp": rng.uniform(-170, 170), **put("motor", *m), **put("pivot", *p)}

    def ends(self, s):
        return extremes(bar_limb(at(s, "motor"), at(s, "pivot"), s, self.side))

    def words(self):
        return "mount behind" if self.behind else ""

    def text(self, s, extra):
        word = "tail-hole" if self.behind else "lever"
        return self.limb(s, f"four-bar {{ motor wiper at {mm(at(s, 'motor'))} crank {s['crank']:.6f} mm rod {s['rod']:.6f} mm "
                         f"{word} {s['lever']:.6f} mm at {s['clamp']:.6f} deg assembly {'open' if self.side > 0 else 'crossed'} }}", extra)


class SlottedArm(Kind):
    def draw(self, rng):
        return {"crank": rng.uniform(30, 60), "slot beside the pivot": rng.uniform(-15, 15), "slot's angle": rng.uniform(-170, 170),
                **put("motor", 300 + rng.uniform(-60, 60), 500), **put("pivot", 300, 700 + rng.uniform(-40, 40))}

    def ends(self, s):
        m, p = at(s, "motor"), at(s, "pivot")

        def value(t):
            x, y = m[0] + s["crank"] * math.cos(t) - p[0], m[1] + s["crank"] * math.sin(t) - p[1]
            return math.degrees(math.atan2(y, x) - math.asin(s["slot beside the pivot"] / math.hypot(x, y))) - s["slot's angle"]
        return extremes(value)

    def words(self):
        return "mount behind"

    def text(self, s, extra):
        return self.limb(s, f"slotted-arm {{ motor wiper at {mm(at(s, 'motor'))} crank {s['crank']:.6f} mm slot 200 mm "
                         f"offset {s['slot beside the pivot']:.6f} mm at {s[SLOT]:.6f} deg }}", extra)


SLOT = "slot's angle"


class Guide(Kind):
    """A limb on a guide that points `lies` from the first of its two ends, so long."""
    unit, long = "mm", 400.0

    def guide(self, s):
        a = math.radians(self.lies)
        return at(s, "guide"), (math.cos(a), math.sin(a)), (-math.sin(a), math.cos(a))

    def seen(self, s, p):
        """A place counted along the guide and left of it."""
        g, u, n = self.guide(s)
        x, y = p[0] - g[0], p[1] - g[1]
        return x * u[0] + y * u[1], x * n[0] + y * n[1]

    def limb(self, s, drive, extra):
        g, u, _ = self.guide(s)
        end = g[0] + self.long * u[0], g[1] + self.long * u[1]
        return f"limb arm {{ slide from {mm(g)} to {mm(end)} {self.words()}\n drive {drive}\n {extra} }}"

    def laid(self, rng, along, left):
        """A guide, and a place so far along it and left of it."""
        self.lies = rng.uniform(0, 360)
        g = put("guide", 450 + rng.uniform(-50, 50), 600 + rng.uniform(-50, 50))
        _, u, n = self.guide(g)
        x, y = at(g, "guide")
        return g, (x + along * u[0] + left * n[0], y + along * u[1] + left * n[1])


class SliderCrank(Guide):
    def __init__(self, offset):
        self.offset = offset

    def draw(self, rng):
        self.side = rng.choice([1, -1])
        rod = rng.uniform(150, 260)
        g, m = self.laid(rng, 200 - self.side * rod, rng.uniform(-25, 25) if self.offset else 0.0)
        return {"crank": rng.uniform(25, 50), "rod": rod, **put("motor", *m), **g}

    def ends(self, s):
        along, left = self.seen(s, at(s, "motor"))

        def value(t):
            x, y = along + s["crank"] * math.cos(t), left + s["crank"] * math.sin(t)
            under = s["rod"] ** 2 - y * y
            return None if under < 0 else x + self.side * math.sqrt(under)
        return extremes(value, wraps=False)

    def text(self, s, extra):
        return f"motor m wiper at {mm(at(s, 'motor'))}\n" + self.limb(
            s, f"slider-crank {{ motor m crank {s['crank']:.6f} mm rod {s['rod']:.6f} mm side {'ahead' if self.side > 0 else 'behind'} }}", extra)


class SliderCrankSaid(SliderCrank):
    """The line of its pin is said in numbers: beside the shaft as it is drawn, leaning from
    the guide as it is drawn."""

    def draw(self, rng):
        s = dict(super().draw(rng), offset=rng.uniform(-40, 40), tilt=rng.uniform(4, 20) * rng.choice([-1, 1]))
        self.drawn = at(s, "motor"), at(s, "guide")
        return s

    def seen(self, s, p):
        a = math.radians(self.lies + s["tilt"])
        u, n = (math.cos(a), math.sin(a)), (-math.sin(a), math.cos(a))
        m, g = self.drawn
        gx, gy = at(s, "guide")
        moved = p[0] - m[0] - gx + g[0], p[1] - m[1] - gy + g[1]
        return (p[0] - gx) * u[0] + (p[1] - gy) * u[1], s["offset"] + moved[0] * n[0] + moved[1] * n[1]

    def text(self, s, extra):
        side = "ahead" if self.side > 0 else "behind"
        return f"motor m wiper at {mm(at(s, 'motor'))}\n" + self.limb(
            s, f"slider-crank {{ motor m crank {s['crank']:.6f} mm rod {s['rod']:.6f} mm "
               f"offset {s['offset']:.6f} mm tilt {s['tilt']:.6f} deg side {side} }}", extra)


class ScotchYoke(Guide):
    def __init__(self, tilted):
        self.tilted = tilted

    def draw(self, rng):
        g, m = self.laid(rng, 200, rng.uniform(-30, 30))
        return {"crank": rng.uniform(25, 60), "tilt": rng.uniform(5, 30) * rng.choice([-1, 1]) if self.tilted else 0.0, **put("motor", *m), **g}

    def ends(self, s):
        along, left = self.seen(s, at(s, "motor"))
        k = math.tan(math.radians(s["tilt"]))
        return extremes(lambda t: along + s["crank"] * math.cos(t) + (left + s["crank"] * math.sin(t)) * k, wraps=False)

    def text(self, s, extra):
        return f"motor m wiper at {mm(at(s, 'motor'))}\n" + self.limb(
            s, f"scotch-yoke {{ motor m crank {s['crank']:.6f} mm tilt {s['tilt']:.6f} deg }}", extra)


class CamSwing(Kind):
    """A cam's roller on an arm. Its disc is cut for the drawing: what counts of it is its
    least and greatest radius, which do not change when anything else is built otherwise."""
    fixed = ()

    def draw(self, rng):
        while True:
            m, p = (300.0, 300.0), (300 + rng.uniform(80, 160), 300 + rng.uniform(80, 160))
            base, roller, far = rng.uniform(35, 50), rng.uniform(6, 12), math.dist(m, p)
            arm = far * rng.uniform(0.8, 1.1)
            swing, low = rng.uniform(8, 16), rng.uniform(-40, 40)
            s = {"base circle": base, "roller": roller, "follower's arm": arm, "clamp": 0.0, **put("motor", *m), **put("pivot", *p)}
            try:
                start = self.open(s, base)
                greatest = math.sqrt(far ** 2 + arm ** 2 - 2 * far * arm * math.cos(math.radians(start + swing))) - roller
            except ValueError:
                continue
            s["rise of the cut"] = greatest - base
            # Its clamp is left open, and found: the roller lies left of the way to the shaft,
            # so that the disc lifts the tip.
            s["clamp"] = angle(p, m) + start - low
            if 10 < s["rise of the cut"] < 40:
                self.asked = (low, low + swing)
                return s

    def open(self, s, cut):
        """The angle at the pivot between shaft and roller, deg, on such a radius."""
        far, arm, pitch = math.dist(at(s, "motor"), at(s, "pivot")), s["follower's arm"], cut + s["roller"]
        return math.degrees(math.acos((far ** 2 + arm ** 2 - pitch ** 2) / (2 * far * arm)))

    def ends(self, s):
        toward = angle(at(s, "pivot"), at(s, "motor"))
        try:
            both = [toward + self.open(s, cut) - s["clamp"] for cut in (s["base circle"], s["base circle"] + s["rise of the cut"])]
        except ValueError:
            return None
        turn = 360 * round((both[0] - self.asked[0]) / 360)
        return min(both) - turn, max(both) - turn

    def words(self):
        return "weighed 0.5 kg balances 100 mm"

    def text(self, s, extra):
        return f"motor m wiper at {mm(at(s, 'motor'))}\n" + self.limb(
            s, f"cam {{ motor m base {s['base circle']:.6f} mm roller {s['roller']:.6f} mm lever {s[ARM]:.6f} mm law poly-345 return gravity }}",
            f"gesture nod {{ sweep {self.asked[0]:.6f} deg to {self.asked[1]:.6f} deg cycle 4 s }} {extra}")


ARM = "follower's arm"


class CamFace(CamSwing):
    """A cam under a flat face of the limb."""

    def draw(self, rng):
        while True:
            m, p = (300.0, 300.0), (300 + rng.uniform(90, 160), 300 + rng.uniform(60, 120))
            base, swing, low = rng.uniform(35, 50), rng.uniform(8, 14), rng.uniform(-40, 40)
            s = {"base circle": base, "face beside the pivot": rng.uniform(-5, 8), "clamp": 0.0, **put("motor", *m), **put("pivot", *p)}
            far = math.dist(m, p)
            # The face's normal through the shaft is the radius and the stand-off long.
            start = self.open(s, base)
            s["rise of the cut"] = far * math.cos(math.radians(start - swing)) - s["face beside the pivot"] - base
            if 10 < s["rise of the cut"] < 45:
                self.asked, self.drawn = (low, low + swing), s
                return s

    def open(self, s, cut):
        far = math.dist(at(s, "motor"), at(s, "pivot"))
        return math.degrees(math.acos((cut + s["face beside the pivot"]) / far))

    def ends(self, s):
        try:
            both = [self.open(s, cut) for cut in (s["base circle"], s["base circle"] + s["rise of the cut"])]
        except ValueError:
            return None
        # The face as it stands on the least radius of the drawing lies at the low end.
        d = self.drawn
        toward = angle(at(s, "motor"), at(s, "pivot")) - angle(at(d, "motor"), at(d, "pivot"))
        ends = [self.asked[0] + self.open(d, d["base circle"]) - b + toward - (s["clamp"] - d["clamp"]) for b in both]
        return min(ends), max(ends)

    def text(self, s, extra):
        return f"motor m wiper at {mm(at(s, 'motor'))}\n" + self.limb(
            s, f"cam {{ motor m base {s['base circle']:.6f} mm follower flat stand-off {s[FACE]:.6f} mm law poly-345 return gravity }}",
            f"gesture nod {{ sweep {self.asked[0]:.6f} deg to {self.asked[1]:.6f} deg cycle 4 s }} {extra}")


FACE = "face beside the pivot"


class CamSlide(Guide):
    long = 100.0

    def __init__(self, foot):
        self.foot = foot

    def draw(self, rng):
        base, lift, beside = rng.uniform(35, 50), rng.uniform(12, 25), rng.uniform(-12, 12)
        roller = rng.uniform(6, 12) if self.foot == "roller" else 0.0
        self.beside = 0.0 if self.foot == "flat" else beside
        self.low = rng.uniform(5, 30)
        g, m = self.laid(rng, -90.0, self.beside)
        s = {"base circle": base, **put("motor", *m), **g}
        if self.foot == "roller":
            s["roller"] = roller
        s["rise of the cut"] = 0.0
        top = self.stand(s, base) + lift
        s["rise of the cut"] = math.hypot(top, 0.0 if self.foot == "flat" else self.off(s)) - roller - base
        self.asked, self.zero = (self.low, self.low + lift), self.low - self.stand(s, base) + 90.0 * 0
        self.along0 = self.seen(s, m)[0]
        return s

    def off(self, s):
        return self.seen(s, at(s, "motor"))[1]

    def stand(self, s, cut):
        if self.foot == "flat":
            return cut
        return math.sqrt((cut + s.get("roller", 0.0)) ** 2 - self.off(s) ** 2)

    def ends(self, s):
        moved = self.seen(s, at(s, "motor"))[0] - self.along0
        try:
            both = [self.zero + moved + self.stand(s, c) for c in (s["base circle"], s["base circle"] + s["rise of the cut"])]
        except ValueError:
            return None
        return both[0], both[1]

    def words(self):
        return "weighed 0.5 kg"

    def text(self, s, extra):
        roller = f"roller {s['roller']:.6f} mm" if "roller" in s else f"follower {self.foot}"
        # Looking the way it lifts the shaft lies left of the guide, so the roller right of it.
        offset = "" if self.foot == "flat" else f"offset {-self.beside:.6f} mm"
        return f"motor m wiper at {mm(at(s, 'motor'))}\n" + self.limb(
            s, f"cam {{ motor m base {s['base circle']:.6f} mm {roller} {offset} law poly-345 return gravity }}",
            f"gesture hop {{ stroke {self.asked[0]:.6f} mm to {self.asked[1]:.6f} mm cycle 4 s }} {extra}")


OWN = ["length drawn in", "length pushed out", "length with the same stroke"]


def own(closed, stroke):
    return dict(zip(OWN, [closed, closed + stroke, closed]))


def lengths(s, closed):
    further = s[OWN[2]] - closed
    return s[OWN[0]] + further, s[OWN[1]] + further


class Strut(Kind):
    def __init__(self, word):
        self.word = word

    def draw(self, rng):
        self.side, self.closed = rng.choice([1, -1]), rng.uniform(200, 210)
        p = (450 + rng.uniform(-30, 30), 600 + rng.uniform(-30, 30))
        a = point(p, rng.uniform(240, 290), rng.uniform(0, 360))
        return {"lever": rng.uniform(80, 130), "clamp": rng.uniform(-170, 170), **put("anchor", *a), **put("pivot", *p), **own(self.closed, 100.0)}

    def ends(self, s):
        def value(length):
            far = meet(at(s, "anchor"), length, at(s, "pivot"), s["lever"], self.side)
            return None if far is None else angle(at(s, "pivot"), far) - s["clamp"]
        return extremes(value, *lengths(s, self.closed))

    def text(self, s, extra):
        motor = "ram-100" if self.word == "ram" else "cylinder-16"
        return self.limb(s, f"{self.word} {{ motor {motor} anchor {mm(at(s, 'anchor'))} length {self.closed:.6f} to {self.closed + 100:.6f} mm "
                         f"lever {s['lever']:.6f} mm at {s['clamp']:.6f} deg assembly {'open' if self.side > 0 else 'crossed'} }}", extra)


class StrutSlide(Guide):
    def __init__(self, word):
        self.word = word

    def draw(self, rng):
        self.side, self.closed = rng.choice([1, -1]), rng.uniform(195, 205)
        pin, self.left = rng.uniform(-40, 40), rng.uniform(-20, 20)
        g, a = self.laid(rng, 200 + pin - self.side * 250, rng.uniform(-50, 50))
        return {"pin along the limb": pin, "pin beside the limb": self.left, **put("anchor", *a), **g, **own(self.closed, 100.0)}

    def ends(self, s):
        along, left = self.seen(s, at(s, "anchor"))
        beside = left - s["pin beside the limb"]

        def value(length):
            under = length ** 2 - beside ** 2
            return None if under < 0 else along + self.side * math.sqrt(under) - s["pin along the limb"]
        return extremes(value, *lengths(s, self.closed), wraps=False)

    def text(self, s, extra):
        motor = "ram-100" if self.word == "ram" else "cylinder-16"
        pin = (s["pin along the limb"], s["pin beside the limb"])
        return self.limb(s, f"{self.word} {{ motor {motor} anchor {mm(at(s, 'anchor'))} length {self.closed:.6f} to {self.closed + 100:.6f} mm "
                         f"lever {math.hypot(*pin):.6f} mm at {math.degrees(math.atan2(pin[1], pin[0])):.6f} deg "
                         f"assembly {'open' if self.side > 0 else 'crossed'} }}", extra)


class ServoRod(Kind):
    head = "motor horn { kind servo voltage 6 V slew 0.15 s per 60 deg pulse 1000 us at -45 deg 2000 us at 45 deg }\n"
    travel = 45.0

    def draw(self, rng):
        while True:
            p, way, far = (450.0, 600.0), rng.uniform(0, 360), rng.uniform(90, 220)
            m = point(p, far, way)
            self.side, arm = rng.choice([1, -1]), rng.uniform(20, 35)
            s = {"servo arm": arm, "rod": far + rng.uniform(-0.3, 0.3) * arm, "lever": rng.uniform(1.2, 2.5) * arm,
                 "clamp": rng.uniform(-170, 170), "servo arm's angle": way + 90 * self.side + rng.uniform(-20, 20),
                 **put("motor", *m), **put("pivot", *p)}
            limb = self.at(s)(0.0)
            if limb is not None and self.best(s, limb + s["clamp"]) and self.ends(s) is not None:
                self.zero = limb
                return s

    def pin(self, s, own=0.0):
        return point(at(s, "motor"), s["servo arm"], s["servo arm's angle"] + own)

    def at(self, s):
        def value(own):
            far = meet(self.pin(s, own), s["rod"], at(s, "pivot"), s["lever"], self.side)
            return None if far is None else angle(at(s, "pivot"), far) - s["clamp"]
        return value

    def push(self, s):
        worst = 90.0
        for i in range(181):
            pin = self.pin(s, -self.travel + self.travel * i / 90)
            far = meet(pin, s["rod"], at(s, "pivot"), s["lever"], self.side)
            if far is None:
                return 0.0
            between = abs(angle(far, pin) - angle(far, at(s, "pivot"))) % 180
            worst = min(worst, between, 180 - between)
        return worst

    def best(self, s, lever_at):
        """Of the ways to put the drawn parts together the one that pushes best is built."""
        far, own = point(at(s, "pivot"), s["lever"], lever_at), self.push(s)
        for turn in (-1, 1):
            pin = meet(at(s, "motor"), s["servo arm"], far, s["rod"], turn)
            other = dict(s, **{"servo arm's angle": angle(at(s, "motor"), pin)}) if pin else s
            apart = abs(other["servo arm's angle"] - s["servo arm's angle"]) % 360
            if 1 < apart < 359 and self.push(other) > own - 1:
                return False
        return own > 15

    def ends(self, s):
        return extremes(self.at(s), -self.travel, self.travel)

    def tip(self, s):
        return point(at(s, "pivot"), 200.0, self.zero)

    def text(self, s, extra):
        return self.limb(s, f"servo {{ motor horn at {mm(at(s, 'motor'))} crank {s['servo arm']:.9f} mm rod {s['rod']:.9f} mm "
                         f"lever {s['lever']:.9f} mm at {s['clamp']:.9f} deg zero {self.zero:.9f} deg assembly {'open' if self.side > 0 else 'crossed'} }}", extra)


class ServoStraight(Kind):
    head = ServoRod.head

    def draw(self, rng):
        return {"angle at the servo's zero": rng.uniform(-170, 170)}

    def ends(self, s):
        zero = s["angle at the servo's zero"]
        return zero - 45.0, zero + 45.0

    def text(self, s, extra):
        return (f"limb arm {{ pivot (300, 500) mm tip (500, 500) mm\n drive servo {{ motor horn at (300, 500) mm "
                f"zero {s[ZERO]:.6f} deg }}\n {extra} }}")

    def tip(self, s):
        return 500.0, 500.0


ZERO = "angle at the servo's zero"


class Cord(Kind):
    """From a crank over one eye to a lever, held taut by a spring."""

    def draw(self, rng):
        self.side = 1
        return {"crank": rng.uniform(25, 35), "lever": rng.uniform(80, 100), "clamp": rng.uniform(165, 180), "cord": rng.uniform(335, 345),
                **put("motor", 300, 300), **put("pivot", 300, 600), **put("eye", 220, 400)}

    def ends(self, s):
        def value(t):
            pin = at(s, "motor")[0] + s["crank"] * math.cos(t), at(s, "motor")[1] + s["crank"] * math.sin(t)
            far = meet(at(s, "eye"), s["cord"] - math.dist(pin, at(s, "eye")), at(s, "pivot"), s["lever"], self.side)
            return None if far is None else angle(at(s, "pivot"), far) - s["clamp"]
        return extremes(value)

    def words(self):
        return "weighed 0.3 kg balances 100 mm"

    def text(self, s, extra):
        return f"motor m wiper at {mm(at(s, 'motor'))}\n" + self.limb(
            s, f"cord {{ motor m crank {s['crank']:.6f} mm lever {s['lever']:.6f} mm at {s['clamp']:.6f} deg "
               f"guides {mm(at(s, 'eye'))} length {s['cord']:.6f} mm assembly open return spring 2 N.m }}", extra)


class Forearm(Kind):
    """Carried by the upper arm, its rod anchored on the board; or on the board, pushed by a
    pin on the upper arm. What is above it may be built otherwise too."""
    upper = {"crank": 30.0, "rod": 217.0, "lever": 90.0, "clamp": 17.5}
    motor, joint = (420.0, 500.0), (300.0, 700.0)

    def __init__(self, rides):
        self.rides = rides

    def draw(self, rng):
        if self.rides:
            s = {"rod": rng.uniform(100, 130), "lever": rng.uniform(35, 60), "anchor, across": 250.0, "anchor, up": 650.0,
                 "pivot, along the limb above": 180.0, "pivot, beside its axis": 0.0}
        else:
            s = {"rod": rng.uniform(180, 230), "lever": rng.uniform(60, 100), "anchor, along the limb above": 100.0, "anchor, beside its axis": 0.0,
                 "pivot, across": 200.0, "pivot, up": 500.0}
        s |= {"clamp": rng.uniform(-170, 170), "crank": self.upper["crank"], "motor, across": self.motor[0], "motor, up": self.motor[1]}
        return s | {f"{n} of the limb above": self.upper[n] for n in ("rod", "lever", "clamp")} | {
            "pivot of the limb above, across": self.joint[0], "pivot of the limb above, up": self.joint[1]}

    def ends(self, s):
        joint = s["pivot of the limb above, across"], s["pivot of the limb above, up"]
        upper = {"crank": s["crank"]} | {n: s[f"{n} of the limb above"] for n in ("rod", "lever", "clamp")}
        above = bar_limb(at(s, "motor"), joint, upper, 1)
        word = "pivot" if self.rides else "anchor"
        pin = s[f"{word}, along the limb above"], s[f"{word}, beside its axis"]

        def value(t):
            up = above(t)
            if up is None:
                return None
            dx, dy = turned(*pin, math.radians(up))
            moved = joint[0] + dx, joint[1] + dy
            near, pivot = (at(s, "anchor"), moved) if self.rides else (moved, at(s, "pivot"))
            far = meet(near, s["rod"], pivot, s["lever"], -1)
            return None if far is None else angle(pivot, far) - s["clamp"]
        return extremes(value)

    def text(self, s, extra):
        u = self.upper
        head = (f"motor elbow wiper at {mm(self.motor)}\n limb upper {{ pivot {mm(self.joint)} tip (120, 700) mm\n drive four-bar {{ motor elbow "
                f"crank {u['crank']} mm rod {u['rod']} mm lever {u['lever']} mm at {u['clamp']} deg assembly open }} }}\n ")
        on, anchor = ("on upper { pivot (120, 700) mm tip (120, 500) mm", "(250, 650)") if self.rides else \
            ("{ pivot (200, 500) mm tip (200, 300) mm", "(200, 700)")
        return head + (f"limb arm {on}\n drive four-bar from upper {{ anchor {anchor} mm rod {s['rod']:.6f} mm "
                       f"lever {s['lever']:.6f} mm at {s['clamp']:.6f} deg assembly crossed }}\n {extra} }}")

    def tip(self, s):
        return None


KINDS = {
    "four-bar in front": FourBar(False), "four-bar behind": FourBar(True), "slotted arm": SlottedArm(),
    "slider-crank in line": SliderCrank(False), "slider-crank offset": SliderCrank(True),
    "slider-crank as said": SliderCrankSaid(True),
    "scotch yoke": ScotchYoke(False), "scotch yoke tilted": ScotchYoke(True),
    "cam, roller on an arm": CamSwing(), "cam, flat face swings": CamFace(),
    "cam, roller slides": CamSlide("roller"), "cam, edge slides": CamSlide("knife"), "cam, flat face slides": CamSlide("flat"),
    "servo straight": ServoStraight(), "servo with a rod": ServoRod(),
    "ram": Strut("ram"), "cylinder": Strut("cylinder"), "ram on a guide": StrutSlide("ram"), "cylinder on a guide": StrutSlide("cylinder"),
    "cord": Cord(), "forearm that rides": Forearm(True), "forearm on the board": Forearm(False),
}
