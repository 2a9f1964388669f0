"""Views of the labels: their printing, finding an instrument by one, one that nothing has."""

from __future__ import annotations

from logic.app.commands import instrument_commands as ido
from logic.app.commands import label_commands as labels
from logic.app.views import views
from tests.logic.app.apps import DiscApp, fresh_app

ADDRESS = "https://nutwright.workshop-of-the-long-name.example/shop/bench/"
HANDED_OUT = "nutwright-labels-2026-12-01-1200.pdf is among the downloads."


def label_scenes(app: DiscApp, name: str) -> dict[str, views.View]:
    """Of an app with many instruments: all, chosen ones, and what can stand in the way."""
    app.device.address = "http://127.0.0.1:8765/"
    app.do(ido.SeeInstruments())
    made = {"labels from this machine": app.do(labels.SeeLabels())}
    app.device.address = ADDRESS
    made["labels of all"] = app.do(labels.SeeLabels())
    app.tell(HANDED_OUT)
    made["labels handed out"] = app.view()
    app.do(ido.SeeInstruments())
    app.do(ido.ChooseSeveral(True))
    app.do(ido.ChooseInstrument(name))
    made["labels of one"] = app.do(labels.SeeLabels())
    made["find by label"] = app.do(labels.SeeFindLabel())
    app.device.scans = True
    made["find by label with a reader"] = app.view()
    app.device.scans = False
    made["unknown label"] = app.do(labels.OpenLabel("0123456789abcdef"))
    made["labels before the address"] = fresh_app().do(labels.SeeLabels())
    return made
