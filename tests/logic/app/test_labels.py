"""Labels in the app: what is printed, what one opens, and what none here is known by."""

from __future__ import annotations

import subprocess
import sys

import pytest

from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.commands import label_commands as labels
from logic.app.presenters.label_words import labels_of
from logic.app.presenters.labels import (
    ADDRESS_UNKNOWN,
    IN_THIS_NETWORK,
    NOT_KEPT,
    ON_THIS_MACHINE,
    doubt_of,
)
from logic.app.views import views
from shared.label import label_code
from shared.readings import Contact
from tests.logic.app.apps import fresh_app
from tests.logic.app.checked import measured
from tests.logic.history.factory import seen_long_ago

ADDRESS = "https://bench.example/"


def test_a_label_opens_the_check_of_its_instrument() -> None:
    """From home and from any page, the one that is scanned and no other is checked."""
    app, names = measured(2)
    for name in names:
        app.do(do.GoHome())
        shown = app.do(labels.OpenLabel(label_code(name)))
        assert isinstance(shown, views.CheckView)
        assert app.session.work.document.instrument_id == name


def test_a_label_that_is_scanned_twice_leaves_one_check() -> None:
    """No answer was given: the same check is gone on with. Once there is one, another begins."""
    app, (name,) = measured()
    first = app.do(labels.OpenLabel(label_code(name)))
    before = len(app.history.jobs())
    app.do(do.GoHome())
    again = app.do(labels.OpenLabel(label_code(name)))
    assert isinstance(first, views.CheckView) and isinstance(again, views.CheckView)
    assert again.job == first.job and len(app.history.jobs()) == before
    app.do(do.Feel(Contact.LIGHT))
    app.do(do.GoHome())
    other = app.do(labels.OpenLabel(label_code(name)))
    assert isinstance(other, views.CheckView) and other.job != first.job
    kept = app.history.job(first.job)
    assert kept is not None and len(kept.readings) == 1


@pytest.mark.parametrize("code", ["0123456789abcdef", "", "x" * 64, "%3Cscript%3E", "name-1"])
def test_a_label_of_another_bench_is_told_and_changes_nothing(code: str) -> None:
    """What happened, what is safe and what to do next; the record has not one entry more."""
    app, _ = measured()
    before = app.history.vector
    shown = app.do(labels.OpenLabel(code))
    assert isinstance(shown, views.UnknownLabelView)
    said = " ".join((shown.title, *shown.about))
    assert "another bench" in said and "Nothing was changed" in said and "in the list" in said
    assert app.history.vector == before
    assert isinstance(app.do(do.Back()), views.HomeView)


def test_an_instrument_that_was_erased_has_no_label() -> None:
    """Once its content is gone, its label is unknown."""
    app, (name,) = measured()
    app.history.erase(("instrument", name), due_ms=app.history.now_ms())
    seen_long_ago(app.history)
    app.history.purge()
    app.history_changed()
    assert isinstance(app.do(labels.OpenLabel(label_code(name))), views.UnknownLabelView)


def test_the_label_of_an_instrument_that_was_never_measured_opens_its_page() -> None:
    """There is nothing to check against: its page says what a check needs."""
    app, (name,) = measured()
    app.do(ido.SeeInstrument(name))
    app.do(ido.Duplicate())
    other = app.session.place.instrument
    assert other != name
    shown = app.do(labels.OpenLabel(label_code(other)))
    assert isinstance(shown, views.InstrumentView)
    assert shown.instrument == other and not shown.checks


def test_labels_are_printed_of_all_or_of_the_chosen() -> None:
    """The page counts labels and sheets; with some chosen it speaks of those alone."""
    app, names = measured()
    app.device.address = ADDRESS
    for _ in range(24):
        app.do(ido.SeeInstrument(names[0]))
        app.do(ido.Duplicate())
    app.do(ido.SeeInstruments())
    shown = app.do(labels.SeeLabels())
    assert isinstance(shown, views.LabelsView) and shown.ready and not shown.doubt
    assert (shown.count, shown.sheets) == (
        "All 25 instruments",
        "2 sheets of A4, or 2 sheets of Letter",
    )
    assert shown.address == ADDRESS
    app.do(do.Back())
    app.do(ido.ChooseSeveral(True))
    app.do(ido.ChooseInstrument(names[0]))
    shown = app.do(labels.SeeLabels())
    assert isinstance(shown, views.LabelsView)
    assert (shown.count, shown.sheets) == (
        "1 chosen instrument",
        "1 sheet of A4, or 1 sheet of Letter",
    )
    (only,) = labels_of(app.session.transient.labels_of, app.history, ADDRESS)
    assert only.link == f"{ADDRESS}#i={label_code(names[0])}"
    back = app.do(do.Back())
    assert isinstance(back, views.InstrumentsView) and back.chosen == 1


def test_nothing_is_printed_without_an_instrument_or_an_address() -> None:
    """An empty bench, or an app that does not know yet where it is served, hands out no sheet."""
    app, _ = measured()
    shown = app.do(labels.SeeLabels())
    assert isinstance(shown, views.LabelsView) and not shown.ready and shown.doubt
    empty = fresh_app()
    empty.device.address = ADDRESS
    shown = empty.do(labels.SeeLabels())
    assert isinstance(shown, views.LabelsView) and not shown.ready


def test_a_label_says_what_tells_its_instrument_apart() -> None:
    """Its name with kind and owner; of one that has neither, since when it is on record and the
    end of its code, which no other has."""
    app, (name, other) = measured(2)
    app.do(ido.SeeInstrument(name))
    app.do(ido.SaveName("Blue one", "A. R."))
    named, bare = labels_of((name, other), app.history, ADDRESS)
    assert (named.name, named.detail) == ("Blue one", "Electric guitar · A. R.")
    assert bare.name == "Electric guitar"
    assert bare.detail.startswith("on record since 20")
    assert bare.detail.endswith(label_code(other)[-4:])


def test_two_that_read_alike_are_told_apart_on_their_labels() -> None:
    """Of one name, kind and owner: each label ends in what ends its code, printed alone too."""
    app, (name, other, third) = measured(3)
    for each in (name, other):
        app.do(ido.SeeInstrument(each))
        app.do(ido.SaveName("Blue one", "A. R."))
    app.do(ido.SeeInstrument(third))
    app.do(ido.SaveName("Blue one", "B. S."))
    ends = [label_code(each)[-4:] for each in (name, other)]
    said = [label.detail for label in labels_of((name, other, third), app.history, ADDRESS)]
    assert said == [
        *(f"Electric guitar · A. R. · {end}" for end in ends),
        "Electric guitar · B. S.",
    ]
    assert labels_of((other,), app.history, ADDRESS)[0].detail == said[1]


@pytest.mark.parametrize(
    ("address", "doubt"),
    [
        ("https://bench.example/", ""),
        ("https://8.8.8.8/bench/", ""),
        ("https://bench.example:8443/shop/", ""),
        ("http://localhost:8000/", ON_THIS_MACHINE),
        ("http://app.localhost/", ON_THIS_MACHINE),
        ("http://127.0.0.1:8000/", ON_THIS_MACHINE),
        ("https://[::1]/", ON_THIS_MACHINE),
        ("file:///home/me/site/", ON_THIS_MACHINE),
        ("https://192.168.1.5:8443/", IN_THIS_NETWORK),
        ("https://bench.local/", IN_THIS_NETWORK),
        ("https://bench/", IN_THIS_NETWORK),
        ("http://192.168.1.5/", NOT_KEPT),
        ("http://bench.example/", NOT_KEPT),
        ("", ADDRESS_UNKNOWN),
    ],
)
def test_an_address_that_leads_nowhere_is_said_before_it_is_printed(
    address: str, doubt: str
) -> None:
    """This machine alone, this network alone, or no copy on the phone: each is told apart."""
    assert doubt_of(address) == doubt


def test_how_a_label_is_found_says_what_this_browser_does() -> None:
    """The camera and the link everywhere; a photo from the app where the browser reads one."""
    app, _ = measured()
    shown = app.do(labels.SeeFindLabel())
    assert isinstance(shown, views.FindLabelView) and not shown.can_scan
    assert "camera" in shown.about[0] and "reads no square codes" in shown.about[1]
    app.device.scans = True
    shown = app.view()
    assert isinstance(shown, views.FindLabelView) and shown.can_scan
    assert "reads labels too" in shown.about[1]


@pytest.mark.programs
def test_what_draws_codes_is_not_imported_before_a_sheet_is_drawn() -> None:
    """Neither the start nor what is imported behind it brings it, nor do the labels' own pages."""
    script = """
import sys
from importlib import import_module
from logic.app.app import LATER_MODULES
import mobile.main
for module in (*mobile.main.BEHIND, "mobile.start.startup", *LATER_MODULES, "mobile.screens.table",
               "mobile.device.sync_controller", "logic.app.presenters.labels"):
    import_module(module)
print([name for name in ("segno", "logic.drawing.labels") if name in sys.modules])
"""
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[]"
