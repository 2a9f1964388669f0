"""The record of a bench: a durable journal, documents folded from it, and their exchange."""

from logic.history.clock import SystemClock, WallClock
from logic.history.documents.models import InstrumentDocument, JobDocument, JobSummary, KitDocument
from logic.history.history import History
from logic.history.identity import Identity, RandomIdentity
from logic.history.report import MergeReport, OpeningReport
from logic.history.storage.files import FileDirectory
from logic.history.storage.store import Directory, MemoryDirectory

__all__ = [
    "Directory",
    "FileDirectory",
    "History",
    "Identity",
    "InstrumentDocument",
    "JobDocument",
    "JobSummary",
    "KitDocument",
    "MemoryDirectory",
    "MergeReport",
    "OpeningReport",
    "RandomIdentity",
    "SystemClock",
    "WallClock",
]
