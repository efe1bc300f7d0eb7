"""Where a plan of limbs joins the operation: one step a move, every line of the construct once and for all."""

from dataclasses import dataclass, field

from cuffwright.case.operation import OperationStep
from cuffwright.theatre.middle import PlannedStep, repair_steps
from tests.theatre.invented_operation import laid


@dataclass(frozen=True)
class Moved:
    """A move as a plan of limbs has it."""

    kind: str
    anchor: str = ""


@dataclass(frozen=True)
class Stepped:
    """A step as a plan of limbs has it."""

    number: int
    move: Moved
    words: str
    limbs: tuple[str, ...] = ()
    source: str = ""
    to: str = ""
    scope: str = "posterior"
    arm: str = "abduction 30"
    parked: tuple[tuple[str, tuple[str, ...]], ...] = ()
    caution: str = ""
    extra: tuple[str, ...] = field(default=())


def plan() -> list[PlannedStep]:
    """A plan for the laid repair: anchors, passes one limb at a time, ties, lateral anchors."""
    layout = laid()[0]
    seats = {s.to for s in layout.stitches if s.to}
    steps = [Stepped(0, Moved("insert", a.name), f"Insert {a.name}") for a in layout.anchors if a.name not in seats]
    for hole in layout.holes:
        parked = (("anterior", (hole.name,)),)
        steps.append(
            Stepped(
                0,
                Moved("pass"),
                f"Pass {hole.name}",
                (hole.name,),
                "lateral",
                "anterior",
                parked=parked,
                caution="alone",
            )
        )
    steps += [Stepped(0, Moved("tie"), "Tie", s.holes) for s in layout.stitches if s.to is None]
    steps += [Stepped(0, Moved("seat", a.name), f"Seat {a.name}") for a in layout.anchors if a.name in seats]
    return [Stepped(**{**vars(step), "number": n}) for n, step in enumerate(steps, 1)]


def told(steps: tuple[OperationStep, ...]) -> set[str]:
    """Every line the steps are about."""
    return {line for step in steps for line in step.lines}


def test_every_move_is_a_step_and_every_line_is_told():
    """As many steps as moves, keys of their own, and all anchors and stitches among their lines."""
    layout, planned = laid()[0], plan()
    steps = repair_steps(layout, planned)
    assert len(steps) == len(planned)
    assert len({step.key for step in steps}) == len(steps)
    assert told(steps) == told(repair_steps(layout))


def test_words_portals_limbs_and_cautions_come_from_the_plan():
    """A pass carries its limb, source and goal, where limbs wait, where the arthroscope stands, what to mind."""
    step = next(s for s in repair_steps(laid()[0], plan()) if s.title.startswith("Pass"))
    assert (step.limbs, step.portals) == (("1aF",), ("lateral", "anterior"))
    assert step.parked == (("anterior", ("1aF",)),)
    assert step.words == "arthroscope posterior; arm abduction 30"
    assert step.caution == "alone"


def test_what_the_plan_leaves_out_gets_a_step_of_its_own():
    """A plan without its last seat still leaves no line that cannot be affirmed."""
    layout = laid()[0]
    steps = repair_steps(layout, plan()[:-1])
    assert steps[-1].key == "rest of the repair"
    assert steps[-1].lines == ("anchor L2",)
    assert told(steps) == told(repair_steps(layout))
