"""Which screen draws which view: every one but home, which is drawn before these are opened."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import flet as ft

from logic.app.views import views
from mobile.parts.basics import Act
from mobile.parts.theme import Theme
from mobile.screens.board import board_screen
from mobile.screens.cut import cut_screen
from mobile.screens.gap import action_screen, relief_screen
from mobile.screens.hand_over import hand_over_screen
from mobile.screens.hub import code_screen, hub_screen, join_screen, sure_screen
from mobile.screens.install import install_screen
from mobile.screens.instrument import instrument_screen
from mobile.screens.instrument_pages import name_screen, nut_screen, strings_screen
from mobile.screens.instruments import instruments_screen
from mobile.screens.intake import intake_screen, kinds_screen
from mobile.screens.kit import kit_screen
from mobile.screens.labels import find_label_screen, labels_screen, unknown_label_screen
from mobile.screens.measured import measured_screen
from mobile.screens.new_nut import new_nut_screen
from mobile.screens.number_pad import type_screen
from mobile.screens.plan import plan_screen
from mobile.screens.questions import preconditions_screen, question_screen
from mobile.screens.quick_check import check_screen, checked_screen, rack_screen
from mobile.screens.raising import raising_screen
from mobile.screens.record_keeping import (
    changes_screen,
    cleared_screen,
    erasure_screen,
    health_screen,
    promised_screen,
)
from mobile.screens.records import records_screen
from mobile.screens.settings import settings_screen
from mobile.screens.step_done import in_tune_screen, step_done_screen
from mobile.screens.string_card import string_card_screen
from mobile.screens.targets import targets_screen
from mobile.screens.visit import look_screen, player_screen, stages_screen, visit_screen
from mobile.screens.walk import walk_screen
from mobile.screens.what_if import what_if_screen

Screen = Callable[[Any, Theme, Act], ft.Control]

SCREENS: dict[type, Screen] = {
    views.KindsView: kinds_screen,
    views.IntakeView: intake_screen,
    views.PreconditionsView: preconditions_screen,
    views.QuestionView: question_screen,
    views.WalkView: walk_screen,
    views.ReliefView: relief_screen,
    views.ActionView: action_screen,
    views.MeasuredView: measured_screen,
    views.WhatIfView: what_if_screen,
    views.RaisingView: raising_screen,
    views.NewNutView: new_nut_screen,
    views.HandOverView: hand_over_screen,
    views.CutView: cut_screen,
    views.TypeView: type_screen,
    views.PlanView: plan_screen,
    views.StringCardView: string_card_screen,
    views.KitView: kit_screen,
    views.SettingsView: settings_screen,
    views.RecordsView: records_screen,
    views.InstrumentsView: instruments_screen,
    views.InstrumentView: instrument_screen,
    views.StringsView: strings_screen,
    views.NutView: nut_screen,
    views.BoardView: board_screen,
    views.NameView: name_screen,
    views.TargetsView: targets_screen,
    views.VisitView: visit_screen,
    views.PlayerView: player_screen,
    views.LookView: look_screen,
    views.StagesView: stages_screen,
    views.StepDoneView: step_done_screen,
    views.InTuneView: in_tune_screen,
    views.CheckView: check_screen,
    views.CheckedView: checked_screen,
    views.RackView: rack_screen,
    views.LabelsView: labels_screen,
    views.FindLabelView: find_label_screen,
    views.UnknownLabelView: unknown_label_screen,
    views.HubView: hub_screen,
    views.CodeView: code_screen,
    views.JoinView: join_screen,
    views.SureView: sure_screen,
    views.HealthView: health_screen,
    views.InstallView: install_screen,
    views.ErasureView: erasure_screen,
    views.PromisedView: promised_screen,
    views.ChangesView: changes_screen,
    views.ClearedView: cleared_screen,
}
