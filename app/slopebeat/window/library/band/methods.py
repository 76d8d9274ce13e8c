"""Ways to find a band, each with its entries: measured maximum, age, reserve, drift test, by hand."""

from __future__ import annotations

from dataclasses import dataclass, replace

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFormLayout, QLineEdit, QSizePolicy, QSpinBox, QWidget

from slopebeat.analysis.band.hr_max import AGES, hr_max_by_age, usual_estimate
from slopebeat.model.bands import (
    HR_MAX_SHARE,
    RESERVE_SHARE,
    Band,
    BandMethod,
    band_from_hr_max,
    band_from_reserve,
)
from slopebeat.model.basis import (
    AGE,
    BY_HAND,
    DRIFT_TEST,
    INVENTED_MAXIMUM,
    MAXIMUM,
    MEASURED_MAXIMUM,
    RESERVE,
    SEEN_MAXIMUM,
    Basis,
)
from slopebeat.model.language import mark, tr
from slopebeat.model.recording import typed_title
from slopebeat.review.words.basis import how_words
from slopebeat.review.words.messages import say
from slopebeat.window.widgets.band_entry import bpm_box, percent_box, shares_in
from slopebeat.window.widgets.boxes import enter, entered, optional_box
from slopebeat.window.widgets.parts import holder, label, row

BOX_PX = 110

MAXIMA = (MAXIMUM, MEASURED_MAXIMUM, SEEN_MAXIMUM, INVENTED_MAXIMUM)
"""Keys of bases that are shares of a maximum."""


@dataclass(frozen=True)
class FoundBand:
    """A band, which holds how it was found, and what to know about it."""

    band: Band
    doubts: str = ""


class MethodPage(QWidget):
    """Entries of one method; ``found`` gives the band, None while an entry is missing.

    ``found`` raises UserError with a sentence when the entries contradict each other.
    """

    changed = Signal()
    advice = ""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.form = QFormLayout(self)
        self.form.setContentsMargins(0, 0, 0, 0)
        self.form.setVerticalSpacing(8)

    def found(self) -> FoundBand | None:
        raise NotImplementedError

    def fill(self, band: Band) -> bool:
        """Show the entries a band was found with; False where it was found in another way."""
        raise NotImplementedError

    def add(self, words: str, *boxes: QSpinBox | QLineEdit) -> None:
        """A row of entries, with "to" between two."""
        widgets: list[QWidget] = []
        for box in boxes:
            box.setMinimumWidth(BOX_PX)
            box.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
            widgets += [*([label(tr("to"))] if widgets else []), box]
            if isinstance(box, QSpinBox):
                box.valueChanged.connect(self._tell)
            else:
                box.textChanged.connect(self._tell)
        entries = row(*widgets, stretch_last=isinstance(boxes[0], QLineEdit))
        self.form.addRow(label(words), holder(entries))

    def _tell(self) -> None:
        self.changed.emit()


def _fill_shares(basis: Basis, boxes: tuple[QSpinBox, QSpinBox]) -> None:
    for box, share in zip(boxes, basis.numbers("low_share", "high_share") or (), strict=False):
        box.setValue(round(share * 100))


def share_boxes(shares: tuple[float, float], lower: str, upper: str) -> tuple[QSpinBox, QSpinBox]:
    """Two boxes by their names."""
    boxes = percent_box(lower), percent_box(upper)
    for box, share in zip(boxes, shares, strict=True):
        box.setValue(round(share * 100))
    return boxes


class MaximumPage(MethodPage):
    """Shares of a measured maximal heart rate."""

    advice = mark("60-70 % of a measured maximum is common practice. A maximal test needs medical clearance.")

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.hr_max = bpm_box(tr("Measured maximal heart rate"), tr("The highest of a maximal test."))
        self.shares = share_boxes(
            HR_MAX_SHARE, tr("Lower share of measured maximum"), tr("Upper share of measured maximum")
        )
        self.add(tr("Measured maximum"), self.hr_max)
        self.add(tr("Share"), *self.shares)

    def found(self) -> FoundBand | None:
        hr_max = entered(self.hr_max)
        if hr_max is None:
            return None
        band = band_from_hr_max(hr_max, shares_in(self.shares))
        return FoundBand(replace(band, basis=band.basis.called(MEASURED_MAXIMUM)))

    def fill(self, band: Band) -> bool:
        hr_max = band.basis.numbers("hr_max_bpm", "low_share", "high_share")
        if band.basis.key not in MAXIMA or hr_max is None:
            return False
        self.hr_max.setValue(round(hr_max[0]))
        _fill_shares(band.basis, self.shares)
        return True


class AgePage(MethodPage):
    """A formula by age, never without its error."""

    advice = mark(
        "A formula gives the mean of many people. Measure the maximum, or use another way, if you can."
    )

    def __init__(self, age_years: int | None = None, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.age = optional_box(tr("Age"), AGES, f" {tr('years')}")
        enter(self.age, age_years)
        self.shares = share_boxes(
            HR_MAX_SHARE, tr("Lower share of estimated maximum"), tr("Upper share of estimated maximum")
        )
        self.add(tr("Age"), self.age)
        self.add(tr("Share"), *self.shares)

    def found(self) -> FoundBand | None:
        age = entered(self.age)
        if age is None:
            return None
        estimates, shares, used = hr_max_by_age(age), shares_in(self.shares), usual_estimate(age)
        lowest, highest = band_from_hr_max(used.low_bpm, shares), band_from_hr_max(used.high_bpm, shares)
        error = tr("With that error the band may as well be {lowest} or {highest}.")
        sentences = [say(each.sentence) for each in estimates]
        doubts = " ".join([*sentences, error.format(lowest=lowest, highest=highest)])
        band = band_from_hr_max(used.hr_max_bpm, shares)
        basis = band.basis.called(AGE, formula=used.formula.name, age_years=float(used.age_years))
        return FoundBand(replace(band, basis=basis), doubts)

    def fill(self, band: Band) -> bool:
        age = band.basis.numbers("age_years")
        if band.basis.key != AGE or age is None:
            return False
        self.age.setValue(round(age[0]))
        _fill_shares(band.basis, self.shares)
        return True


class ReservePage(MethodPage):
    """Shares of the heart-rate reserve."""

    advice = mark("The reserve is the maximum less the heart rate at rest (Karvonen).")

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.hr_max = bpm_box(
            tr("Maximum for the reserve"), tr("Measured. A maximal test needs medical clearance.")
        )
        self.hr_rest = bpm_box(tr("Heart rate at rest"), tr("Measured lying down, after waking."))
        self.shares = share_boxes(RESERVE_SHARE, tr("Lower share of reserve"), tr("Upper share of reserve"))
        self.add(tr("Measured maximum"), self.hr_max)
        self.add(tr("At rest"), self.hr_rest)
        self.add(tr("Share"), *self.shares)

    def found(self) -> FoundBand | None:
        hr_max, hr_rest = entered(self.hr_max), entered(self.hr_rest)
        if hr_max is None or hr_rest is None:
            return None
        return FoundBand(band_from_reserve(hr_max, hr_rest, shares_in(self.shares)))

    def fill(self, band: Band) -> bool:
        heart = band.basis.numbers("hr_max_bpm", "hr_rest_bpm")
        if band.basis.key != RESERVE or heart is None:
            return False
        self.hr_max.setValue(round(heart[0]))
        self.hr_rest.setValue(round(heart[1]))
        _fill_shares(band.basis, self.shares)
        return True


class EdgesPage(MethodPage):
    """Both edges by hand."""

    advice = mark("For a band given by a coach, a physician or a laboratory.")
    how = mark("Set by hand")

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        how, tip = tr(self.how), tr("It counts as in band.")
        self.lower_edge = bpm_box(tr("Lower edge: {how}").format(how=how), tip)
        self.upper_edge = bpm_box(tr("Upper edge: {how}").format(how=how), tip)
        self.add(tr("From"), self.lower_edge, self.upper_edge)

    def found(self) -> FoundBand | None:
        lower, upper = entered(self.lower_edge), entered(self.upper_edge)
        if lower is None or upper is None:
            return None
        return FoundBand(Band(lower, upper, basis=Basis.of(BY_HAND)))

    def fill(self, band: Band) -> bool:
        """Edges can be shown of any band."""
        self.lower_edge.setValue(band.lower_bpm)
        self.upper_edge.setValue(band.upper_bpm)
        return True


class DriftPage(EdgesPage):
    """Edges checked by an hour at the upper edge, with the result in words."""

    advice = mark(
        "An hour at steady output on level ground at the upper edge: little drift says the edge is low "
        "enough. That under 5 % is little is common practice without a source."
    )
    how = mark("Steady-hour check")

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.outcome_words = QLineEdit()
        self.outcome_words.setPlaceholderText(tr("Level road, 62 min, heart rate rose by 3 %"))
        self.outcome_words.setAccessibleName(tr("Result of the steady-hour check"))
        self.add(tr("Result"), self.outcome_words)

    def found(self) -> FoundBand | None:
        result, edges = typed_title(self.outcome_words.text()), super().found()
        if edges is None or not result:
            return None
        basis = Basis.of(DRIFT_TEST, result=result)
        return FoundBand(replace(edges.band, method=BandMethod.DRIFT_TEST, basis=basis))

    def fill(self, band: Band) -> bool:
        if band.basis.key != DRIFT_TEST:
            return False
        # What an outing of this library has shown is a sentence with its figures, behind the method's name.
        self.outcome_words.setText(band.basis.words_of("result") or how_words(band).partition(": ")[2])
        self.outcome_words.setCursorPosition(0)
        return super().fill(band)
