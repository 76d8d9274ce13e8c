"""The pictures of a report, by name."""

from __future__ import annotations

from slopebeat.report.bars import account_bar, cause_bars
from slopebeat.report.outing_chart import outing_chart
from slopebeat.report.shapes import Scene
from slopebeat.review.outing import Review


def picture(which: str, review: Review) -> Scene:
    """``chart``, ``account`` or ``causes`` of an outing reviewed with a band."""
    assert review.account is not None
    assert review.causes is not None
    return {
        "chart": outing_chart(review),
        "account": account_bar(review.account),
        "causes": cause_bars(review.causes),
    }[which]
