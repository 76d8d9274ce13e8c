"""How things are shown: the preferences put in force."""

from __future__ import annotations

from PySide6.QtCore import QLocale, QObject, Signal

from slopebeat.model import language, measures
from slopebeat.model.measures import System
from slopebeat.session.settings import BY_SYSTEM, Preferences, Settings, Units


def system_in_force(units: Units, locale: QLocale) -> System:
    """The units to show. Britain counts as metric: its maps of hills are in metres (common practice)."""
    if units is not Units.SYSTEM:
        return System(units.value)
    american = locale.measurementSystem() is QLocale.MeasurementSystem.ImperialUSSystem
    return System.IMPERIAL if american else System.METRIC


def language_in_force(wanted: str, locale: QLocale) -> str:
    """The code of the language to speak."""
    return language.fitting(locale.name()) if wanted == BY_SYSTEM else wanted


def decimal_sign_in_force(wanted: str, locale: QLocale) -> str:
    """The system's decimal sign, but a point where English was asked for."""
    return "." if wanted == language.SOURCE_LANGUAGE or locale.decimalPoint() != "," else ","


class Display(QObject):
    """Holds the preferences and puts them in force.

    ``changed`` says the units differ and every figure must be written anew; ``look_changed`` that colours
    or text size do.
    """

    changed = Signal()
    look_changed = Signal()

    def __init__(self, settings: Settings, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._settings = settings
        self._on_foot = False

    @property
    def preferences(self) -> Preferences:
        return self._settings.content.preferences

    def begin(self, locale: QLocale | None = None) -> str:
        """Put units, language and decimal sign in force, before anything is shown.

        Returns a sentence where the language is not installed; English is spoken then.
        """
        locale = locale or QLocale.system()
        chosen = self.preferences
        measures.use_system(system_in_force(chosen.units, locale))
        measures.use_decimal_sign(decimal_sign_in_force(chosen.language, locale))
        try:
            language.use_language(language_in_force(chosen.language, locale))
        except language.NoSuchLanguage as error:
            language.use_language(language.SOURCE_LANGUAGE)
            return str(error)
        return ""

    def choose(self, wanted: Preferences, locale: QLocale | None = None) -> None:
        """Take other preferences: units, look and text size at once, the language at the next start."""
        before = self.preferences
        if wanted == before:
            return
        self._settings.keep(preferences=wanted)
        units = system_in_force(wanted.units, locale or QLocale.system())
        if units is not measures.system() or self._pace() is not measures.pace_in_force():
            measures.use_system(units)
            measures.use_pace(self._pace())
            self.changed.emit()
        if (wanted.look, wanted.text_percent) != (before.look, before.text_percent):
            self.look_changed.emit()

    def show_on_foot(self, on_foot: bool) -> None:
        """The outing on screen was gone on foot, or on a bike, which is never shown as pace."""
        self._on_foot = on_foot
        if self._pace() is not measures.pace_in_force():
            measures.use_pace(self._pace())
            self.changed.emit()

    def _pace(self) -> bool:
        return self.preferences.pace and self._on_foot
