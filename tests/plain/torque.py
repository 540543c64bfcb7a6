"""Motor torque of seven linkages from a general-purpose physics engine (MuJoCo).

    pip install mujoco
    python3 tests/plain/torque.py > tests/published/torque_engine.json

Each linkage is built of rigid bodies in a plane: a crank turned by a velocity servo so
stiff that its speed is constant, limbs on hinges or slides, and weightless rods as
tendons of fixed length. The engine steps forward in time, knows nothing of closed
forms or virtual work, and the torque is read from its actuator. The test suite reads
the printed file and does not need the engine. Sizes in mm, masses in kg, angles in deg.
"""

import json
import math

import mujoco
import numpy as np

G = 9.80665
STEP = 1e-4
ROWS = 72
# Inertia of the motor's own shaft: of no matter at constant speed.
SHAFT = 0.004
# Stiffness of the servo that holds its speed, N.m.s/rad.
STIFF = 50.0


def closed(near, pivot, rod, lever, side):
    """Direction pivot to lever pin: the pin lies left (side +1) or right of the line
    from the near pin to the pivot."""
    to = complex(pivot[0] - near[0], pivot[1] - near[1])
    d = abs(to)
    corner = math.acos((d * d + lever * lever - rod * rod) / (2 * d * lever))
    back = math.atan2(-to.imag, -to.real)
    return back - side * corner


def crank_pin(motor, crank, turn):
    return motor[0] + crank * math.cos(turn), motor[1] + crank * math.sin(turn)


def m(*mm):
    return " ".join(repr(v * 1e-3) for v in mm)


def inertial(limb):
    far, at = limb["centre"]
    cx, cy = far * math.cos(math.radians(at)), far * math.sin(math.radians(at))
    central = limb["inertia"] - limb["mass"] * far * far * 1e-6
    flat = max(central / 2, 1e-9)
    return (
        f'<inertial pos="{m(cx, cy, 0)}" mass="{limb["mass"]}" '
        f'diaginertia="{flat} {flat} {central}"/>'
    )


def hinge_limb(name, pos, angle, limb, lever, clamp, inner="", friction=0.0):
    """A limb on a hinge, its axis at `angle` (rad) in its parent, a pin on its lever."""
    px, py = lever * math.cos(math.radians(clamp)), lever * math.sin(math.radians(clamp))
    return f"""
    <body name="{name}" pos="{m(*pos, 0)}" euler="0 0 {angle!r}">
      <joint name="{name}" type="hinge" axis="0 0 1" frictionloss="{friction}"/>
      {inertial(limb)}
      <site name="{name}-pin" pos="{m(px, py, 0)}"/>
      {inner}
    </body>"""


def bar(holes, metre):
    """Mass and central inertia of a bar with its outer holes so far apart, cut 14 mm beyond."""
    length = holes + 28
    mass = metre * length * 1e-3
    return mass, mass * length * length * 1e-6 / 12


def piece(holes, metre, along=(1.0, 0.0)):
    """The same as the engine wants it, its middle half way between the outer holes."""
    mass, central = bar(holes, metre)
    at = m(holes / 2 * along[0], holes / 2 * along[1], 0)
    return f'<inertial pos="{at}" mass="{mass}" diaginertia="{central / 2} {central / 2} {central}"/>'


def model(motor, crank, bodies, rods, start=0.0, heavy=None):
    """`rods`: (from site, to site, length), weightless. `heavy`: one rigid rod instead,
    (to site, length, direction, metre, the crank's last hole), and a crank of the same bar."""
    shaft = '<inertial pos="0 0 0" mass="0.001" diaginertia="1e-6 1e-6 1e-6"/>'
    rod = pin = ""
    if heavy:
        to, length, angle, metre, last = heavy
        shaft = piece(last, metre)
        rod = f"""<body name="rod" pos="{m(crank, 0, 0)}" euler="0 0 {angle - start!r}">
            <joint type="hinge" axis="0 0 1"/>
            {piece(length, metre)}
            <site name="rod-end" pos="{m(length, 0, 0)}"/>
          </body>"""
        pin = (
            f'<connect site1="rod-end" site2="{to}" solref="{4 * STEP} 1" '
            'solimp="0.9999 0.9999 0.001 0.5 2"/>'
        )
    tendons = "".join(
        f'<spatial name="rod{i}"><site site="{a}"/><site site="{b}"/></spatial>'
        for i, (a, b, _) in enumerate(rods)
    )
    equal = "".join(
        f'<tendon tendon1="rod{i}" polycoef="0 0 0 0 0" solref="{4 * STEP} 1" '
        'solimp="0.9999 0.9999 0.001 0.5 2"/>'
        for i, _ in enumerate(rods)
    )
    text = f"""
    <mujoco>
      <compiler angle="radian"/>
      <option timestep="{STEP}" gravity="0 {-G} 0" integrator="implicit" iterations="200"
              tolerance="1e-14"><flag contact="disable"/></option>
      <worldbody>
        <body name="crank" pos="{m(*motor, 0)}" euler="0 0 {start!r}">
          <joint name="crank" type="hinge" axis="0 0 1" armature="{SHAFT}"/>
          {shaft}
          <site name="crank-pin" pos="{m(crank, 0, 0)}"/>
          {rod}
        </body>
        {bodies}
      </worldbody>
      <tendon>{tendons}</tendon>
      <equality>{equal}{pin}</equality>
      <actuator><velocity name="motor" joint="crank" kv="{STIFF}"/></actuator>
    </mujoco>"""
    return mujoco.MjModel.from_xml_string(text)


def given(data):
    """Torque of the servo over the step just made: the engine damps implicitly, so it
    is the speed after the step that counts."""
    return STIFF * (data.ctrl[0] - data.joint("crank").qvel[0])


def constant(built, rpm, sign=1.0):
    """Torque in the direction of turning, at crank angles 0, 5, .. 355 deg, of the third
    turn."""
    data = mujoco.MjData(built)
    speed = sign * rpm * math.pi / 30
    period = 60 / rpm
    turns, torque = [], []
    for i in range(int(4.05 * period / STEP)):
        data.ctrl[0] = speed * min(1.0, i * STEP / period)
        mujoco.mj_step(built, data)
        turns.append(abs(data.joint("crank").qpos[0]))
        torque.append(sign * given(data))
    turns, torque = np.array(turns), np.array(torque)
    grid = 4 * math.pi + np.arange(ROWS) * 2 * math.pi / ROWS
    fine = 4 * math.pi + np.linspace(0, 2 * math.pi, 20001)
    curve, whole = np.interp(grid, turns, torque), np.interp(fine, turns, torque)
    if sign < 0:
        curve = np.roll(curve[::-1], 1)
    return {
        "rpm": rpm,
        "turns": "ccw" if sign > 0 else "cw",
        "torque_nm": [round(float(t), 6) for t in curve],
        "peak_nm": round(float(whole.max()), 6),
        "least_nm": round(float(whole.min()), 6),
        "rms_nm": round(float(math.sqrt(np.mean(whole[:-1] ** 2))), 6),
    }


ARM = {"mass": 0.188, "centre": (207.0, 3.0), "inertia": 0.0121}
WING = {"mass": 0.231, "centre": (184.0, 0.0), "inertia": 0.0124}
UPPER = {"mass": 0.052, "centre": (88.0, 0.0), "inertia": 0.00057}
FORE = {"mass": 0.049, "centre": (80.0, 0.0), "inertia": 0.00053}
HEAD = {"mass": 0.290, "centre": (10.0, 40.0), "inertia": 0.0033}


def bear(both):
    """A drumming arm, or both on one crank pin."""
    motor, crank, rod, lever, clamp = (310, 806), 30, 160, 80, 127
    pin = crank_pin(motor, crank, 0)
    bodies, rods = "", []
    arms = [("left", (150, 880), 1, clamp, 1)] + ([("right", (470, 880), -1, -clamp, -1)] if both else [])
    for name, pivot, side, at, mirror in arms:
        lead = closed(pin, pivot, rod, lever, side)
        far, up = ARM["centre"]
        limb = dict(ARM, centre=(far, mirror * up))
        bodies += hinge_limb(name, pivot, lead - math.radians(at), limb, lever, at, friction=0.04)
        rods.append(("crank-pin", f"{name}-pin", rod))
    return constant(model(motor, crank, bodies, rods), 29.0)


def heron():
    """Two wings with tails behind, left crossed, right open."""
    motor, crank, rod, tail = (260, 570), 30, 250, 70
    pin = crank_pin(motor, crank, 0)
    bodies, rods = "", []
    for name, pivot, side in [("left", (197, 820), -1), ("right", (323, 820), 1)]:
        lead = closed(pin, pivot, rod, tail, side)
        bodies += hinge_limb(name, pivot, lead - math.pi, WING, tail, 180, friction=0.01)
        rods.append(("crank-pin", f"{name}-pin", rod))
    return constant(model(motor, crank, bodies, rods), 29.0, -1.0)


def bow():
    """A bow on a guide at 20 deg without friction; its pin on the line through the shaft."""
    motor, crank, rod, tilt = (0, 0), 40, 200, math.radians(20)
    along = (math.cos(tilt), math.sin(tilt))
    pin = crank_pin(motor, crank, 0)
    beside = along[0] * pin[1] - along[1] * pin[0]
    way = along[0] * pin[0] + along[1] * pin[1] + math.sqrt(rod * rod - beside * beside)
    bodies = f"""
    <body name="bow" pos="{m(way * along[0], way * along[1], 0)}">
      <joint name="bow" type="slide" axis="{along[0]!r} {along[1]!r} 0"/>
      <inertial pos="0 0 0" mass="0.25" diaginertia="1e-4 1e-4 1e-4"/>
      <site name="bow-pin" pos="0 0 0"/>
    </body>"""
    return constant(model(motor, crank, bodies, [("crank-pin", "bow-pin", rod)]), 120.0)


def fiddler():
    """An upper arm on a crank; a forearm on it, held by a rod from the board: six bars."""
    motor, crank, rod, lever, clamp, pivot = (420, 500), 30, 217, 90, 17.5, (300, 700)
    upper = closed(crank_pin(motor, crank, 0), pivot, rod, lever, 1) - math.radians(clamp)
    elbow = (pivot[0] + 180 * math.cos(upper), pivot[1] + 180 * math.sin(upper))
    anchor, second, tail = (250, 650), 110, 40
    fore = closed(anchor, elbow, second, tail, -1) - math.pi
    inner = hinge_limb("fore", (180, 0), fore - upper, FORE, tail, 180, friction=0.004)
    bodies = f'<site name="anchor" pos="{m(*anchor, 0)}"/>'
    bodies += hinge_limb("upper", pivot, upper, UPPER, lever, clamp, inner, friction=0.004)
    rods = [("crank-pin", "upper-pin", rod), ("anchor", "fore-pin", second)]
    return constant(model(motor, crank, bodies, rods), 60.0)


def drummer():
    """The bear's arm with crank, rod and lever of steel, 25 x 5 mm, the crank drilled on to
    60 mm and the lever to 120 mm for trying."""
    motor, crank, rod, lever, clamp, pivot = (310, 806), 30, 160, 80, 127, (150, 880)
    metre = 7850 * 0.025 * 0.005
    pin = crank_pin(motor, crank, 0)
    lead = closed(pin, pivot, rod, lever, 1)
    far = (pivot[0] + lever * math.cos(lead), pivot[1] + lever * math.sin(lead))
    angle = math.atan2(far[1] - pin[1], far[0] - pin[0])
    along = (math.cos(math.radians(clamp)), math.sin(math.radians(clamp)))
    own = f'<body name="lever">{piece(120, metre, along)}</body>'
    arm = hinge_limb("arm", pivot, lead - math.radians(clamp), ARM, lever, clamp, own, 0.04)
    built = model(motor, crank, arm, [], heavy=("arm-pin", rod, angle, metre, 60))
    return constant(built, 60.0)


def saw():
    """The bow without tilt on a crank and a rod of steel, 25 x 5 mm, at 120 rpm."""
    crank, rod, metre = 40, 200, 7850 * 0.025 * 0.005
    bodies = f"""
    <body name="bow" pos="{m(crank + rod, 0, 0)}">
      <joint name="bow" type="slide" axis="1 0 0"/>
      <inertial pos="0 0 0" mass="0.25" diaginertia="1e-4 1e-4 1e-4"/>
      <site name="bow-pin" pos="0 0 0"/>
    </body>"""
    built = model((0, 0), crank, bodies, [], heavy=("bow-pin", rod, 0.0, metre, 60))
    return constant(built, 120.0)


def owl():
    """A head through a parallelogram, to and fro 70 deg as a cosine in 2 s."""
    shaft, pivot, arm = (300, 600), (300, 760), 20
    start = math.radians(-35)
    bodies = hinge_limb("head", pivot, start, HEAD, arm, 0)
    built = model(shaft, arm, bodies, [("crank-pin", "head-pin", 160)], start)
    data = mujoco.MjData(built)
    torque, period, swing = [], 2.0, math.radians(35)
    w = 2 * math.pi / period
    for i in range(int(2 * period / STEP)):
        t = (i + 1) * STEP
        data.ctrl[0] = swing * w * math.sin(w * t)
        mujoco.mj_step(built, data)
        torque.append(given(data))
    last = np.array(torque[len(torque) // 2 :])
    # The shaft's own inertia is the engine's need, not the limb's.
    own = (SHAFT + 1e-6) * swing * w * w * np.cos(w * (np.arange(len(last)) + 1) * STEP)
    last = last - own
    return {
        "period_s": period,
        "from_deg": -35,
        "to_deg": 35,
        "peak_nm": round(float(np.abs(last).max()), 6),
        "rms_nm": round(float(math.sqrt(np.mean(last**2))), 6),
    }


print(
    json.dumps(
        {
            "engine": f"MuJoCo {mujoco.__version__}",
            "script": "tests/plain/torque.py",
            "bear_arm": bear(False),
            "bear_both": bear(True),
            "heron": heron(),
            "bow": bow(),
            "fiddler": fiddler(),
            "drummer": drummer(),
            "saw": saw(),
            "owl": owl(),
        },
        indent=1,
    )
)
