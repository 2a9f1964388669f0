"""What is shown where labels are printed and where an instrument is found by one.

A label is printed once and found seldom: each imports its presenter when it is shown.
"""

from __future__ import annotations

from logic.app.routing.shown import Shown
from logic.app.views.views import View


def labels(shown: Shown) -> View:
    """The labels that can be printed."""
    from logic.app.presenters.labels import labels_view

    session = shown.session
    chosen, address = session.transient.labels_of, shown.device.address
    return labels_view(session.history, chosen, session.trade, address, shown.note)


def find_label(shown: Shown) -> View:
    """How an instrument is found by its label."""
    from logic.app.presenters.labels import find_label_view

    return find_label_view(shown.device.scans, shown.note)


def unknown_label(shown: Shown) -> View:
    """A label that belongs to no instrument here."""
    from logic.app.presenters.labels import unknown_label_view

    return unknown_label_view(shown.session.transient.label_code)
