"""The worked example of the theory page: every line by hand agrees with the program."""

import math
import re
from pathlib import Path

import numpy as np
import pytest

from cuffwright.case.fact import Citing
from cuffwright.course.doubt import doubted
from cuffwright.course.proof.null import Null, by_holes
from cuffwright.course.proof.rig import Ground, Rig
from cuffwright.evidence.bench_files import load_benches
from cuffwright.evidence.book import load_book
from cuffwright.mechanics.cyclic import CyclicLaw
from cuffwright.mechanics.net import ON_ANCHOR, ON_TOP
from cuffwright.mechanics.pressure.layer import transfer
from cuffwright.mechanics.pressure.material import LayerProperties
from cuffwright.mechanics.pull import bearing_force
from cuffwright.mechanics.weave import weave
from tests.mechanics.bench import STRIP, double_row, laboratory

PAGE = Path(__file__).resolve().parent.parent / "docs" / "theory.md"
LINE = re.compile(r"^\| ([^|]+) \| ([^|]+) \| ([\d.]+) (N/mm|N|mm2|mm|-) \|$", re.MULTILINE)


def path_of(net, rope):
    """Length of one rope as threaded, its corners rounded, from the arrays of the repair."""
    nodes = []
    for on, which in zip(net.on[rope], net.which[rope], strict=True):
        if len(nodes) == net.nodes[rope]:
            break
        if on == ON_ANCHOR:
            nodes.append(net.anchor[which])
        else:
            nodes.append(np.append(net.at[which], net.thick[which] if on == ON_TOP else net.floor))
    steps = np.diff(np.array(nodes), axis=0)
    return float(np.sqrt((steps**2).sum(axis=1) + net.bend**2).sum())


def by_program():
    """Every step as the program has it."""
    facts = Citing(load_book())
    numbers = laboratory()
    woven = weave(double_row(), STRIP, numbers)
    tear = dict(zip(woven.holes, woven.net.tear.tolist(), strict=False))
    simple, mattress = tear["L1aF"], tear["1aF"]
    leg = woven.limbs.index("1aF-1aB")
    path = path_of(woven.net, leg)
    stiff = 1 / (woven.net.give[leg] + path / numbers.thread)
    benches = {b.study: b for b in load_benches()}
    film = benches["jses2007-contact"]
    setup = {name: given.value for name, given in film.setup.items()}
    map4 = Rig(Ground(facts, 1, 1), film.construct("bridge4"), setup, False)
    pressed = map4.pressed(0.0)
    thin = numbers.press * 2.0 / (1 - 2.0 / 5.0)
    null = Null.from_facts(facts, by_holes, benches["ajsm2006-rows"].construct("double"), film.construct("bridge4"))
    n = facts.number
    return {
        "simple hole bears": simple,
        "mattress hole bears": mattress,
        "simple hole starts to tear at": simple / numbers.bearing,
        "all eight holes at once": sum(tear.values()),
        "mattress path": path,
        "mattress rope stiffness": stiff,
        "its legs, tendon 2 mm medial": 2 * (math.hypot(2.5, 2.0) - 2.5),
        "tissue pressed 2 mm deep pushes": thin,
        "friction there": numbers.friction * thin,
        "slot, half loaded hole, cycle 1 to 200": float(CyclicLaw.from_facts(facts).growth(np.array(0.5), 1, 200)),
        "force of one bridging limb on the bone": n("suture.tension.limb")
        * n("contact.scale.limb")
        * (n("contact.start.knotted") + math.sin(math.radians(65))),
        "force of one mattress stitch on the bone": n("suture.tension.knot") * n("contact.scale.knot") * 2,
        "the same, tightened to 20.7 N by the limbs": map4.ramp.tied["1aF-1aB"] * n("contact.scale.knot") * 2,
        "film bench, all of it": pressed.total_force,
        "layer, wave with a = 1": float(
            transfer(LayerProperties.isotropic(3.0, 0.3, 2.0), np.array([0.5]), np.array([0.0])).base[0]
        ),
        "100 mm2 with an error of 0.4, lower end of 90 %": doubted(100.0, "mm2", 0.4, 0.9).low,
        "null model, per hole": null.strength,
    }


def test_every_line_of_the_worked_example_agrees_with_the_program():
    """Seventeen results by hand, each to three parts in a thousand of what the program gives."""
    page = {step: float(value) for step, _, value, _ in LINE.findall(PAGE.read_text("utf-8"))}
    ours = by_program()
    assert set(page) == set(ours)
    for step, value in page.items():
        assert value == pytest.approx(ours[step], rel=3e-3), step


def test_the_arithmetic_of_every_line_is_right():
    """Each hand formula that is plain arithmetic gives its own result."""
    for step, words, value, _ in LINE.findall(PAGE.read_text("utf-8")):
        text = words.split(",")[0].replace(" x ", " * ").replace("^", "**").replace("sin 65", "sin(radians(65))")
        text = re.sub(r"(\d) (\(|sqrt|exp)", r"\1 * \2", text)
        names = {"sqrt": math.sqrt, "exp": math.exp, "sin": math.sin, "radians": math.radians}
        assert eval(text, {"__builtins__": {}}, names) == pytest.approx(float(value), rel=1e-3), step


def test_a_hole_bears_in_proportion_until_it_tears():
    """The bearing law of the page: kh d below dy, F just at it."""
    net = weave(double_row(), STRIP, laboratory()).net
    way = np.zeros((net.kind.size, 2))
    way[:, 1] = 1.0
    assert bearing_force(net, way)[0] == pytest.approx(30.0)
