"""A device that goes on under a new name keeps what it has for itself."""

from __future__ import annotations

from logic.history import MemoryDirectory
from logic.history.documents.bodies import device_setting
from logic.history.journal.segment import segment_name
from tests.logic.history.factory import open_history, opened, reading, setting


def copied(directory: MemoryDirectory) -> MemoryDirectory:
    """A backup of a whole folder."""
    return MemoryDirectory({name: bytearray(data) for name, data in directory.files.items()})


def test_a_restored_backup_keeps_the_settings_of_its_device() -> None:
    """The copy meets entries that it wrote after the copy was made, takes a new name, and speaks
    the language that was chosen on it; what another device chose stays that one's."""
    directory = MemoryDirectory()
    first = open_history(directory)
    first.record(*opened())
    first.record(*setting(device_setting("language", first.device), "de"))
    first.record(*setting(device_setting("language", "tablet"), "en"))
    first.record(*setting("unit", "mm"))
    restored = open_history(copied(directory), letter="r")
    assert restored.device == first.device
    first.record(*reading())
    restored.merge(first.export())
    assert restored.device != first.device
    assert restored.setting(device_setting("language", restored.device)) == "de"
    assert restored.setting(device_setting("language", "tablet")) == "en"
    assert [e.kind for e in restored.events_after(first.vector)] == ["setting.changed"]


def test_a_damaged_history_goes_on_with_its_settings() -> None:
    """Opened again with a piece missing, the device has a new name and its own settings; opened
    once more, nothing is carried a second time."""
    directory = MemoryDirectory()
    first = open_history(directory)
    first.record(*setting(device_setting("who", first.device), "Ada"))
    first.record(*opened())
    first.record(*reading())
    data = directory.files[segment_name(1)]
    data[data.rfind(b"reading.taken")] ^= 1
    again = open_history(directory, letter="n")
    assert again.device != first.device
    assert again.setting(device_setting("who", again.device)) == "Ada"
    held = sum(again.vector.values())
    assert sum(open_history(directory, letter="o").vector.values()) == held


def test_joining_a_bench_takes_the_settings_along() -> None:
    """Only where the new name has nothing of its own yet, and only once."""
    history = open_history()
    history.record(*setting(device_setting("language", history.device), "de"))
    history.join("alder-row")
    assert history.setting(device_setting("language", history.device)) == "de"
    history.record(*setting(device_setting("language", history.device), "en"))
    history.merge_events([])  # which looks for settings to carry over
    assert history.setting(device_setting("language", history.device)) == "en"
