"""What ``cuffwright limbs --check`` prints of a record of moves."""

from pathlib import Path

from rich.console import Console

from cuffwright.case.limb_answer import LimbAnswer
from cuffwright.case.sheet import CaseSheet
from cuffwright.cli.printing import SUPPORT
from cuffwright.course.limb_checked import Checked
from cuffwright.exchange.limb_records import CENSUS


def say_checked(sheet: CaseSheet, path: Path, answer: LimbAnswer, found: Checked) -> None:
    """Print what was found in a record: the first mistake and risk on top, all by step, the plan for what is left."""
    out = Console(highlight=False, soft_wrap=True, markup=False)
    invented = ", invented" if sheet.identity.invented else ""
    whose = f"{answer.case}{invented}, {answer.side.upper()} shoulder"
    out.print(f"{whose}, {path.name}: {found.steps} moves as recorded.", style="bold")
    for severity, words in (("illegal", "against the rules"), ("risk", "that risks something")):
        first = found.first(severity)
        out.print(f"First move {words}: {f'step {first.step}, {first.text}' if first else 'none'}.")
    for one in found.findings:
        remedy = f" {one.remedy}" if one.remedy and one.severity != "note" else ""
        out.print(f"{one.step:3} {one.severity}, {one.rule}: {one.text}.{remedy}")
    if found.asked:
        out.print(f"{found.asked[0].upper()}{found.asked[1:]} Add the count to the record as lines of {CENSUS}.")
    bays = ((p.name, found.state.hanging(p.name)) for p in answer.field.portals)
    out.print("; ".join(f"{name}: {' '.join(limbs)}" for name, limbs in bays if limbs) or "No limb hangs out.")
    out.print(f"From here: {found.plan.certificate.words if found.plan else found.refused}")
    for step in found.plan.steps if found.plan else ():
        out.print(f"{step.number:3} {step.words}; arthroscope {step.scope}.")
    out.print("What a line does not say is assumed: over all other limbs, grasped at the source, pull test held.")
    out.print(SUPPORT)
