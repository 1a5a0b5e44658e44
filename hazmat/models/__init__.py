"""The tables, one noun a file."""

from hazmat.book.aside import Aside
from hazmat.book.entry import Entry
from hazmat.models.assessment import Assessment
from hazmat.models.bottle import Bottle, Hand
from hazmat.models.breakdown import Breakdown
from hazmat.models.clues import Clues
from hazmat.models.condition import Condition
from hazmat.models.crew import Crew, SignIn, SignOut
from hazmat.models.door import Door
from hazmat.models.edition import Edition
from hazmat.models.emergency import EmergencyCard
from hazmat.models.erasure import Erasure
from hazmat.models.extension import Extension
from hazmat.models.fate import Fate
from hazmat.models.file import Photograph
from hazmat.models.injury import InjuryNote
from hazmat.models.outing import Back, Outing
from hazmat.models.paper import Paper, Seal
from hazmat.models.person import Person
from hazmat.models.result import Result
from hazmat.models.screen import Screen, SecondReading
from hazmat.models.sidehazards import SideHazards
from hazmat.models.space import Holder, Space
from hazmat.models.spill import Spill, SpillAccount, SpillEnd, SpillPaper, SpillStep, SpillTold
from hazmat.models.standing import UnitStanding
from hazmat.models.tool import Cleaning, Retirement, Tool, Touch
from hazmat.models.training import Override, Training
from hazmat.models.unit import Isolation, Look, PartOff, Unit
from hazmat.models.verdict import Second, Verdict
from hazmat.models.yard import Member, Particulars, Yard

__all__ = [
    "Aside",
    "Assessment",
    "Back",
    "Bottle",
    "Breakdown",
    "Cleaning",
    "Clues",
    "Condition",
    "Crew",
    "Door",
    "Edition",
    "EmergencyCard",
    "Entry",
    "Erasure",
    "Extension",
    "Fate",
    "Hand",
    "Holder",
    "InjuryNote",
    "Isolation",
    "Look",
    "Member",
    "Outing",
    "Override",
    "Paper", "PartOff",
    "Particulars",
    "Person",
    "Photograph",
    "Result",
    "Retirement",
    "Screen",
    "Seal",
    "Second",
    "SecondReading",
    "SideHazards",
    "SignIn",
    "SignOut",
    "Space",
    "Spill", "SpillAccount", "SpillEnd", "SpillPaper", "SpillStep", "SpillTold",
    "Tool",
    "Touch",
    "Training",
    "Unit",
    "UnitStanding",
    "Verdict",
    "Yard",
]  # fmt: skip
