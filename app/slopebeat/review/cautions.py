"""The cautions: shown wherever a band is asked for or an answer is given, in the terminal, too."""

from __future__ import annotations

from slopebeat.model.language import mark, tr

CAUTIONS = (
    mark("This is not medical advice; a licensed professional and local rules come first."),
    mark("Maximal tests and lactate tests need medical clearance and a trained person."),
    mark("Chest pain, fainting or unusual breathlessness: stop and seek care."),
    mark(
        "A wrist sensor was off by 13 % on trails, a chest strap by 2 % (doi:10.1371/journal.pone.0238569)."
    ),
)
"""Shown, through ``tr``, wherever a band is asked for or an answer is given."""


LACTATE_CAUTIONS = (
    mark(
        "A lactate test is near-maximal work and takes blood: only with medical clearance, "
        "by a trained person, with clean single-use lancets."
    ),
    CAUTIONS[2],
    CAUTIONS[0],
)
"""Shown wherever a test is entered or its result is given."""


def cautions(*numbers: int) -> tuple[str, ...]:
    """The cautions of these numbers, or all, in the language in force."""
    return tuple(tr(CAUTIONS[number]) for number in numbers or range(len(CAUTIONS)))
