"""The work of `cargo bench --bench kinematics`, done plainly with NumPy and SciPy.

    python3 tests/plain/linkages.py

Prints nanoseconds for one position (a million at once, closed forms on arrays) and
the time of one `?`, by a grid over hole pairs and rods as one would write it first.
The test suite does not need it. The sizes are those of the bench.
"""

import time

import numpy as np
from scipy.optimize import brentq

N = 1_000_000
TURN = np.linspace(0.0, 2.0 * np.pi, N, endpoint=False)


def best(work, rounds=5):
    """Seconds of the quickest of some rounds."""
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def four_bar(motor, pivot, crank, rod, lever, turn=TURN):
    """Lever directions by the closed form on angles."""
    pin = motor + crank * np.exp(1j * turn)
    to = pin - pivot
    far = np.abs(to)
    corner = (far**2 + lever**2 - rod**2) / (2.0 * far * lever)
    return np.angle(to) + np.arccos(np.clip(corner, -1.0, 1.0))


def slider_crank(crank, rod, offset, turn=TURN):
    """Places along the slide."""
    return crank * np.cos(turn) + np.sqrt(rod**2 - (offset + crank * np.sin(turn)) ** 2)


def slotted_arm(ground, crank, offset, turn=TURN):
    """Slot directions."""
    pin = crank * np.exp(1j * turn) - ground
    far = np.abs(pin)
    return np.angle(pin) - np.arcsin(offset / far)


def scotch_yoke(crank, tilt, turn=TURN):
    """Places along the slide."""
    return crank * np.cos(turn - tilt) / np.cos(tilt)


def ram(lever, ground, lengths):
    """Angles at the pivot opposite a length."""
    return np.arccos((lever**2 + ground**2 - lengths**2) / (2.0 * lever * ground))


def six_bar(turn=TURN):
    """Upper arm, then the forearm on its tip: two closed forms."""
    upper = four_bar(420 + 500j, 300 + 700j, 30.0, 217.0, 90.0, turn) - np.radians(17.5)
    elbow = (300 + 700j) + 180.0 * np.exp(1j * upper)
    to = (250 + 650j) - elbow
    far = np.abs(to)
    corner = (far**2 + 40.0**2 - 110.0**2) / (2.0 * far * 40.0)
    return np.angle(to) - np.arccos(np.clip(corner, -1.0, 1.0))


def open_four_bar():
    """`?` over 11 crank and 17 lever holes, the rod on a grid of 60."""
    ground, wanted, tolerance = 324.5, np.radians(44.0), np.radians(2.0)
    best_of_all = None
    for crank in np.linspace(20.0, 70.0, 11):
        for lever in np.linspace(60.0, 140.0, 17):
            rods = np.linspace(ground - lever + crank + 1.0, ground + lever - crank - 1.0, 60)
            inner, outer = rods - crank, rods + crank
            corner = lambda x: np.clip(
                (ground**2 + lever**2 - x**2) / (2.0 * ground * lever), -1.0, 1.0
            )
            swings = np.arccos(corner(outer)) - np.arccos(corner(inner))
            near = np.arccos(np.clip((rods**2 + lever**2 - (ground - crank) ** 2) / (2.0 * rods * lever), -1.0, 1.0))
            far = np.arccos(np.clip((rods**2 + lever**2 - (ground + crank) ** 2) / (2.0 * rods * lever), -1.0, 1.0))
            worst = np.minimum(np.minimum(near, np.pi - near), np.minimum(far, np.pi - far))
            worst = np.where(np.abs(swings - wanted) <= tolerance, worst, -1.0)
            at = int(np.argmax(worst))
            if worst[at] > 0.0 and (best_of_all is None or worst[at] > best_of_all[0]):
                best_of_all = (worst[at], crank, rods[at], lever)
    return best_of_all


def open_slider():
    """`?` of a slider-crank: the crank for a stroke, by a root finder for each rod."""
    best_of_all = None
    for rod in np.linspace(100.0, 400.0, 61):
        stroke = lambda a: (
            np.sqrt((rod + a) ** 2 - 25.0) - np.sqrt(max((rod - a) ** 2 - 25.0, 0.0)) - 80.0
        )
        crank = brentq(stroke, 1.0, rod - 6.0)
        lean = np.arcsin((crank + 5.0) / rod)
        if best_of_all is None or lean < best_of_all[0]:
            best_of_all = (lean, crank, rod)
    return best_of_all


def main():
    positions = [
        ("four-bar", lambda: four_bar(310 + 806j, 150 + 880j, 30.0, 159.92, 80.0)),
        ("slotted arm", lambda: slotted_arm(100.0, 30.0, 5.0)),
        ("slider-crank", lambda: slider_crank(40.0, 200.0, 5.0)),
        ("Scotch yoke", lambda: scotch_yoke(40.0, np.radians(10.0))),
        ("ram", lambda: ram(100.0, 269.3, np.linspace(205.0, 305.0, N))),
        ("six-bar", six_bar),
    ]
    for name, work in positions:
        print(f"{name:14} position {best(work) / N * 1e9:7.1f} ns")
    print(f"? of a four-bar, 11 x 17 holes, rods on a grid  {best(open_four_bar) * 1e3:7.2f} ms")
    print(f"? of a slider-crank, 61 rods, a root for each   {best(open_slider) * 1e3:7.2f} ms")


if __name__ == "__main__":
    main()
