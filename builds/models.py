"""Gathers the rooms' models."""

from .checks.lessons import SoakLesson
from .checks.models import Waiver
from .clientpage.models import Link, Opening
from .clients.models import Client
from .handover.aftercare import CalendarLink, CareDate
from .handover.models import Owed, Pack
from .jobs.models import Job
from .journal.models import EntryPhoto, JournalEntry
from .labour.models import (
    Absence,
    BenchWeek,
    HoursEntry,
    KeptForecast,
    Need,
    PatternTask,
    PlanPattern,
    Precedes,
    Task,
    WorkKind,
)
from .proving.limits import ProvingLimits
from .proving.logs import LogLayout, SoakLog
from .proving.models import Gate, Reading, Trial
from .quotes.bills import Bill, Payment
from .quotes.models import Issue, IssueLine, Quote, StagePayment
from .quotes.rework import Rework
from .quotes.rules import PriceRule
from .sheets.models import Document
from .specs.models import Cable, Loop, PinOut, Role, Run, SpecLine, SpecVersion, Step, WireTest

__all__ = [
    "Absence",
    "BenchWeek",
    "Bill",
    "Cable",
    "CalendarLink",
    "CareDate",
    "Client",
    "Document",
    "EntryPhoto",
    "Gate",
    "HoursEntry",
    "Issue",
    "IssueLine",
    "Job",
    "JournalEntry",
    "KeptForecast",
    "Link",
    "LogLayout",
    "Loop",
    "Need",
    "Opening",
    "Owed",
    "Pack",
    "PatternTask",
    "Payment",
    "PinOut",
    "PlanPattern",
    "Precedes",
    "PriceRule",
    "ProvingLimits",
    "Quote",
    "Reading",
    "Rework",
    "Role",
    "Run",
    "SoakLesson",
    "SoakLog",
    "SpecLine",
    "SpecVersion",
    "StagePayment",
    "Step",
    "Task",
    "Trial",
    "Waiver",
    "WireTest",
    "WorkKind",
]
