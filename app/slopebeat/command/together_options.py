"""The options by which several recordings are reviewed as one outing, without what does it."""

from __future__ import annotations

import argparse

from slopebeat.command import common
from slopebeat.model.bands import parse_band
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr


def add_together_options(parser: argparse.ArgumentParser) -> None:
    """Let several recordings be one outing."""
    common.add_switch(parser, "--together", tr("review all activities of all files as parts of one outing"))
    parser.add_argument(
        "--bike-band", metavar=tr("LO-HI"), help=tr("with --together, the band of the parts on a bike")
    )


def check_together(options: argparse.Namespace) -> None:
    """Refuse what cannot go together; UserError with a sentence."""
    if not options.together:
        if len(options.file) > 1:
            raise UserError(tr("Give one recording, or --together to review several as one outing."))
        if options.bike_band is not None:
            raise UserError(tr("--bike-band goes with --together."))
        return
    if options.bike_band is not None:
        parse_band(options.bike_band)
    named = [("--activity", options.activity), ("--csv", options.csv), ("--sport", options.sport)]
    for name, given in named:
        if given is not None:
            raise UserError(tr("{option} does not go with --together.").format(option=name))
