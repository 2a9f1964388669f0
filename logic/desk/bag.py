"""The kit and the settings: what is in the bag, how the bench reads."""

from __future__ import annotations

from logic.bench.trade import Trade
from logic.desk.views import Choice, KitView, SettingsView
from logic.desk.wording import Wording
from logic.history.history import History
from logic.jobfile import preset_kit
from shared.kit import Kit
from shared.units import Length, Unit

BENCH_KIT = "bench"
SETTINGS: dict[str, tuple[str, dict[str, str]]] = {
    "unit": ("Lengths in", {"thou": "thou", "in": "inch", "mm": "mm"}),
    "mark": ("Decimal mark", {".": "0.5", ",": "0,5"}),
    "hand": ("Hand that taps", {"right": "Right", "left": "Left"}),
    "theme": ("Light", {"night": "Night", "paper": "Paper", "sun": "Sun"}),
}
"""Each setting: its title, its values and their words; the first value is the default."""


def kit_of(history: History, trade: Trade) -> Kit:
    """This bench's kit, or the usual one until somebody says what is in the bag."""
    for kept in history.kits():
        if kept.id == BENCH_KIT:
            return kept.value
    return preset_kit(trade)


def toggled(sizes: tuple[Length, ...], text: str) -> tuple[Length, ...]:
    """`sizes` with the one that `text` spells put in, or taken out if it was there."""
    size = Length.parse(text)
    kept = tuple(each for each in sizes if each != size)
    return tuple(sorted((*kept, size))) if len(kept) == len(sizes) else kept


def kit_view(kit: Kit, trade: Trade, wording: Wording) -> KitView:
    """Every size of the trade that a bag may hold, ticked where this one does."""
    offered = trade.tables["kit_sizes"]
    leaves, files = (
        tuple(
            Choice(str(size), wording.bare(size), chosen=size in owned)
            for size in sorted({*map(Length.parse, offered[sort]), *owned})
        )
        for sort, owned in (("leaves", kit.leaves), ("files", kit.files))
    )
    summary = f"{len(kit.leaves)} leaves and {len(kit.files)} files are in the bag."
    return KitView(leaves, files, wording.unit.value, summary)


def settings_of(history: History) -> dict[str, str]:
    """Every setting's value; what was never set, or set to what we do not know, is the default."""
    values = {}
    for name, (_, choices) in SETTINGS.items():
        kept = history.setting(name)
        values[name] = kept if kept in choices else next(iter(choices))
    return values


def wording_of(settings: dict[str, str]) -> Wording:
    """How lengths are put into words on this bench."""
    return Wording(Unit(settings["unit"]), settings["mark"])


def settings_view(settings: dict[str, str], storage: tuple[str, ...]) -> SettingsView:
    """Every setting with its choices, and where the record is kept."""
    groups = tuple(
        (
            name,
            title,
            tuple(Choice(key, word, chosen=settings[name] == key) for key, word in choices.items()),
        )
        for name, (title, choices) in SETTINGS.items()
    )
    return SettingsView(groups, storage)
